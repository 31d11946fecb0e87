package journal

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// DefaultFolder is where runs are kept unless the user says otherwise: the
// halfdrop/runs folder of the user's data. It need not exist yet; Create makes it.
func DefaultFolder() (string, error) {
	home, err := os.UserHomeDir()
	if err != nil {
		home = ""
	}
	return folderFor(runtime.GOOS, home, os.Getenv)
}

// folderFor follows, from memory, the XDG base directory specification (which has
// relative paths ignored), Apple's File System Programming Guide (Library/
// Application Support) and the known folder LocalAppData of Windows.
func folderFor(goos, home string, env func(string) string) (string, error) {
	base := ""
	switch goos {
	case "windows":
		base = env("LocalAppData")
		if base == "" && home != "" {
			base = filepath.Join(home, "AppData", "Local")
		}
	case "darwin", "ios":
		if home != "" {
			base = filepath.Join(home, "Library", "Application Support")
		}
	default:
		base = env("XDG_DATA_HOME")
		if !filepath.IsAbs(base) {
			base = ""
		}
		if base == "" && home != "" {
			base = filepath.Join(home, ".local", "share")
		}
	}
	if base == "" {
		return "", errors.New("journal: this system names no home folder (say where the journal should go)")
	}
	return filepath.Join(base, "halfdrop", "runs"), nil
}

// maxSlug is how many letters of the plan's name go into that of the file.
const maxSlug = 40

// NewName is a file name for a run: date and time as of at, the plan's name in
// lower-case ASCII letters, digits and hyphens, safe on every file system.
func NewName(at time.Time, plan string) string { return stem(at, plan) + ".jsonl" }

func stem(at time.Time, plan string) string {
	return at.Format("20060102-150405-") + slug(plan)
}

func slug(plan string) string {
	plan = strings.NewReplacer("µ", "u", "μ", "u", "ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss").Replace(strings.ToLower(plan))
	words := strings.FieldsFunc(plan, func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9')
	})
	s := strings.Join(words, "-")
	if len(s) > maxSlug {
		s = strings.TrimRight(s[:maxSlug], "-")
	}
	return cmp.Or(s, "run")
}

// CreateIn is Create in a folder under the name of NewName, with -2, -3 … added
// when it is taken.
func CreateIn(folder string, at time.Time, plan string, first Event, opts ...Option) (*Writer, error) {
	name := NewName(at, plan)
	for n := 2; ; n++ {
		w, err := Create(filepath.Join(folder, name), first, opts...)
		if !errors.Is(err, fs.ErrExist) {
			return w, err
		}
		name = fmt.Sprintf("%s-%d.jsonl", stem(at, plan), n)
	}
}
