package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/textfile"
)

// meterName is what a learned meter may be called: it is the name of a file.
var meterName = regexp.MustCompile(`^[\pL\pN][\pL\pN._-]{0,39}$`)

// meterPath is where the description of a learned meter is kept, beside the
// defaults. The file need not exist.
func meterPath(name string) (string, error) {
	if !meterName.MatchString(name) {
		return "", usageError(fmt.Errorf("%q is no name of a meter", phrase.Clip(name, 40)), "letters, digits, . _ and -, at most forty, such as corner-bench")
	}
	config, err := configPath()
	if err != nil {
		return "", err
	}
	if config == os.DevNull {
		return "", usageError(fmt.Errorf("%s is %s: no meter is kept there", configEnv, os.DevNull), "let it name a file; meters are kept beside it")
	}
	return filepath.Join(filepath.Dir(config), "meters", strings.ToLower(name)+".toml"), nil
}

// knownMeters are the names of the meters that were learned.
func knownMeters() []string {
	path, err := meterPath("x")
	if err != nil {
		return nil
	}
	files, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return nil
	}
	var names []string
	for _, f := range files {
		if name, ok := strings.CutSuffix(f.Name(), ".toml"); ok {
			names = append(names, name)
		}
	}
	return names
}

// readMeter sets what was learned of a meter in c.
func readMeter(name string, c *serial.Config) error {
	path, err := meterPath(name)
	if err != nil {
		return err
	}
	data, err := textfile.Read(path, textfile.MaxDialect)
	if errors.Is(err, fs.ErrNotExist) {
		hint := "halfdrop ports --learn " + name + " asks what it sends"
		if known := knownMeters(); len(known) > 0 {
			hint += "; known are " + strings.Join(known, ", ")
		}
		return withHint(fmt.Errorf("no meter %q has been learned", name), hint)
	}
	if err != nil {
		return err
	}
	if err := serial.ParseDialect(path, data, c); err != nil {
		return withHint(err, "the keys are "+strings.Join(serial.DialectKeys, ", "), "halfdrop ports --learn "+name+" --force writes the file anew")
	}
	return nil
}

// saveMeter writes what was learned. One that exists is kept unless force says
// otherwise.
func saveMeter(name, text string, force bool) (string, error) {
	path, err := meterPath(name)
	if err != nil {
		return "", err
	}
	if err := meterFree(name, force); err != nil {
		return "", err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return "", withHint(err, "set "+configEnv+" to a file that can be written; meters are kept beside it")
	}
	return path, textfile.Exchange(path, []byte(text), 0o644)
}

// meterFree reports whether a meter can be kept under a name.
func meterFree(name string, force bool) error {
	path, err := meterPath(name)
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); err == nil && !force {
		return withHint(fmt.Errorf("a meter %q has been learned already: %s", name, path), "choose another name, or learn it anew with --force")
	}
	return nil
}
