package main

import (
	"fmt"
	"os"
	"path/filepath"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/shelf"
)

// meters are the meters that were learned, beside the defaults.
func meters() (shelf.Meters, error) {
	config, err := manners.ConfigPath()
	if err == nil && config == os.DevNull {
		err = usageError(fmt.Errorf("%s is %s: no meter is kept there", manners.ConfigEnv, os.DevNull), "set it to the path of a file; meters are kept beside it")
	}
	return shelf.Meters{Folder: filepath.Join(filepath.Dir(config), "meters"), Env: manners.ConfigEnv}, err
}

// meterOf are the meters, where a name can be that of one of them.
func meterOf(name string) (shelf.Meters, error) {
	if err := shelf.CheckMeterName(name); err != nil {
		return shelf.Meters{}, err
	}
	return meters()
}

// knownMeters are the names of the meters that were learned.
func knownMeters() []string {
	m, err := meters()
	if err != nil {
		return nil
	}
	return m.Names()
}

// readMeter sets what was learned of a meter in c.
func readMeter(name string, c *serial.Config) error {
	m, err := meterOf(name)
	if err != nil {
		return err
	}
	return m.Read(name, c)
}

// saveMeter writes what was learned.
func saveMeter(name, text string, force bool) (string, error) {
	m, err := meterOf(name)
	if err != nil {
		return "", err
	}
	return m.Save(name, text, force)
}

// meterFree is an error where no meter can be kept under a name.
func meterFree(name string, force bool) error {
	m, err := meterOf(name)
	if err != nil {
		return err
	}
	return m.Free(name, force)
}
