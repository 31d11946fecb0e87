package main

import (
	"fmt"
	"os"
	"path/filepath"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/shelf"
)

// meters are the meters that were learned, beside the defaults.
func meters() shelf.Meters {
	config, err := manners.ConfigPath()
	if err == nil && config == os.DevNull {
		err = usageError(fmt.Errorf("%s is %s: no meter is kept there", manners.ConfigEnv, os.DevNull), "set it to the path of a file; meters are kept beside it")
	}
	return shelf.Meters{Folder: filepath.Join(filepath.Dir(config), "meters"), Env: manners.ConfigEnv, Err: err}
}

// knownMeters are the names of the meters that were learned.
func knownMeters() []string { return meters().Names() }
