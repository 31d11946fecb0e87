package manners

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
	"github.com/spf13/cobra"
)

//go:embed config.toml
var configTemplate []byte

// ConfigEnv names another file of defaults.
const ConfigEnv = "HALFDROP_CONFIG"

// defaults are the flags that the config file may set, by the name of the flag.
type defaults struct {
	Operator  *string `toml:"operator"`
	Port      *string `toml:"port"`
	Mode      *string `toml:"mode"`
	Query     *string `toml:"query"`
	Dialect   *string `toml:"dialect"`
	Meter     *string `toml:"meter"`
	Channel   *string `toml:"channel"`
	Electrode *string `toml:"electrode"`
	Plain     *bool   `toml:"plain"`
	Bell      *bool   `toml:"bell"`
	ASCII     *bool   `toml:"ascii"`
	// Speak is a program that is run with each new sentence.
	Speak *string `toml:"speak"`
	// Background is that of the terminal: auto, dark or light.
	Background *string `toml:"background"`
}

// aboutMeter are the defaults that a run without a meter leaves alone.
var aboutMeter = map[string]bool{"port": true, "mode": true, "query": true, "dialect": true, "meter": true, "channel": true}

// aboutWords are the commands that take no default and only say or complete words.
var aboutWords = map[string]bool{"help": true, "man": true, "completion": true, "bash": true, "zsh": true, "fish": true, "powershell": true,
	cobra.ShellCompRequestCmd: true, cobra.ShellCompNoDescRequestCmd: true}

// ConfigPath is where the defaults are kept; the file need not exist.
func ConfigPath() (string, error) {
	if p := os.Getenv(ConfigEnv); p != "" {
		return p, nil
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", remedy.With(err, "set "+ConfigEnv+" to the file with your defaults")
	}
	return filepath.Join(dir, "halfdrop", "config.toml"), nil
}

// CreateConfig writes the file of defaults in which each is explained and none is set.
func CreateConfig(cmd *cobra.Command, path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return remedy.With(err, "set "+ConfigEnv+" to a file that can be written")
	}
	if err := textfile.WriteNew(path, configTemplate); errors.Is(err, fs.ErrExist) {
		return remedy.With(err, "it is left as it is; halfdrop config prints it")
	} else if err != nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: wrote %s\n", path)
	return nil
}

// PrintConfig prints the defaults, and says where they are.
func PrintConfig(cmd *cobra.Command, path string) error {
	data, err := textfile.Read(path, textfile.MaxConfig)
	if errors.Is(err, fs.ErrNotExist) {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: no defaults; they would be in %s\nhalfdrop: hint: halfdrop config --create writes the file\n", path)
		return nil
	}
	if err != nil {
		return err
	}
	if _, err := decodeDefaults(path, data); err != nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: defaults in %s\n", path)
	_, err = cmd.OutOrStdout().Write(data)
	return err
}

// decodeDefaults decodes the file strictly.
func decodeDefaults(path string, data []byte) (d defaults, err error) {
	err = textfile.Decode(path, data, &d)
	var bad textfile.Faults
	switch {
	case !errors.As(err, &bad):
		return d, err
	case bad[0].Key != nil:
		return d, remedy.Call(bad[0], "known are "+strings.Join(DefaultKeys(), ", "))
	}
	return d, remedy.Call(bad[0], "a text value needs quotes; true and false need none")
}

// DefaultKeys are the names of all defaults, which are those of flags.
func DefaultKeys() (keys []string) {
	t := reflect.TypeFor[defaults]()
	for i := range t.NumField() {
		keys = append(keys, t.Field(i).Tag.Get("toml"))
	}
	return keys
}

// values are the defaults that are set, by flag, as a command line has them.
func (d defaults) values() map[string]string {
	out := map[string]string{}
	v := reflect.ValueOf(d)
	for i, key := range DefaultKeys() {
		switch x := v.Field(i).Interface().(type) {
		case *string:
			if x != nil {
				out[key] = *x
			}
		case *bool:
			if x != nil {
				out[key] = strconv.FormatBool(*x)
			}
		}
	}
	return out
}

// ApplyDefaults sets the flags of a command that were not given and that the
// config file has a default for.
func ApplyDefaults(cmd *cobra.Command) error {
	if cmd.Name() == "config" {
		return nil
	}
	path, err := ConfigPath()
	if err != nil || path == os.DevNull {
		return nil // a system without a home folder has no defaults, nor has one who wants none
	}
	data, err := textfile.Read(path, textfile.MaxConfig)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if os.Getenv(ConfigEnv) != "" && !aboutWords[cmd.Name()] { // only a file that was named is missed
			fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: note: %s: there is no file %s, so no defaults are used; halfdrop config --create writes it\n", ConfigEnv, path)
		}
		return nil
	case err != nil:
		return remedy.With(err, "the file with your defaults cannot be read")
	}
	d, err := decodeDefaults(path, data)
	if err != nil {
		return err
	}
	for key, value := range d.values() {
		f := cmd.Flags().Lookup(key)
		if f == nil || f.Changed || aboutMeter[key] && withoutMeter(cmd) {
			continue
		}
		if err := f.Value.Set(value); err != nil {
			return &remedy.Error{Kind: remedy.Usage, Err: fmt.Errorf("%s: %s: %w", path, key, err)}
		}
	}
	return nil
}

// withoutMeter reports whether the command line asks for something else than
// the usual meter: the simulator, another port, an unfinished run.
func withoutMeter(cmd *cobra.Command) bool {
	for _, name := range []string{"sim", "resume", "port", "listen", "meter", "learn"} {
		if f := cmd.Flags().Lookup(name); f != nil && f.Changed {
			return true
		}
	}
	return false
}
