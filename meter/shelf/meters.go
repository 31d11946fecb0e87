package shelf

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/textfile"
)

// Meters are the descriptions of the meters that were learned, a dialect file each.
type Meters struct {
	Folder string // in which they are kept; it need not exist
	Env    string // the variable that says where, for hints
	Err    error  // why there is no such folder
}

// meterName is what a learned meter may be called: it is the name of a file.
var meterName = regexp.MustCompile(`^[\pL\pN][\pL\pN._-]{0,39}$`)

// path is where the description of a meter is kept. The file need not exist.
func (m Meters) path(name string) (string, error) {
	if !meterName.MatchString(name) {
		return "", remedy.Call(fmt.Errorf("%q is not a valid name for a meter", phrase.Clip(name, 40)), "letters, digits, . _ and -, at most forty, such as corner-bench")
	}
	return filepath.Join(m.Folder, strings.ToLower(name)+".toml"), m.Err
}

// Names are those of the meters that were learned; none where the folder cannot be read.
func (m Meters) Names() (names []string) {
	if m.Err != nil {
		return nil
	}
	files, err := os.ReadDir(m.Folder)
	if err != nil {
		return nil
	}
	for _, f := range files {
		if name, ok := strings.CutSuffix(f.Name(), ".toml"); ok {
			names = append(names, name)
		}
	}
	return names
}

// Read sets what was learned of a meter in c.
func (m Meters) Read(name string, c *serial.Config) error {
	path, err := m.path(name)
	if err != nil {
		return err
	}
	data, err := textfile.Read(path, textfile.MaxDialect)
	if errors.Is(err, fs.ErrNotExist) {
		hint := "halfdrop ports --learn " + name + " asks what it sends"
		if known := m.Names(); len(known) > 0 {
			hint += "; known are " + strings.Join(known, ", ")
		}
		return remedy.With(fmt.Errorf("no meter %q has been learned", name), hint)
	}
	if err != nil {
		return err
	}
	if err := serial.ParseDialect(path, data, c); err != nil {
		return remedy.With(err, "the keys are "+strings.Join(serial.DialectKeys, ", "), "halfdrop ports --learn "+name+" --force writes the file afresh")
	}
	return nil
}

// Save writes what was learned, and is the path of the file. One that exists is kept
// unless force says otherwise.
func (m Meters) Save(name, text string, force bool) (string, error) {
	path, err := m.path(name)
	if err != nil {
		return "", err
	}
	if err := m.Free(name, force); err != nil {
		return "", err
	}
	if err := os.MkdirAll(m.Folder, 0o755); err != nil {
		return "", remedy.With(err, "set "+m.Env+" to a file that can be written; meters are kept beside it")
	}
	return path, textfile.Exchange(path, []byte(text), 0o644)
}

// Free is an error where no meter can be kept under a name.
func (m Meters) Free(name string, force bool) error {
	path, err := m.path(name)
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); err == nil && !force {
		return remedy.With(fmt.Errorf("a meter %q has been learned already: %s", name, path), "choose another name, or learn it again with --force")
	}
	return nil
}
