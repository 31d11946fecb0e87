package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"example.org/halfdrop/meter/intake"
)

// Repair is what Resume had to set aside; the zero value means nothing.
type Repair struct {
	File   string // the second file, which holds the bytes set aside
	Line   int64  // the line they began on
	Offset int64  // their place in the journal
	Bytes  int64
	Why    string
}

// Needed reports whether anything was set aside.
func (r Repair) Needed() bool { return r.Bytes > 0 }

// String says what was set aside and where it is now.
func (r Repair) String() string {
	if !r.Needed() {
		return "nothing to repair"
	}
	return fmt.Sprintf("line %d (%d bytes from byte %d) was not whole and was set aside in %s: %s",
		r.Line, r.Bytes, r.Offset, r.File, r.Why)
}

// Resume opens a journal to go on with it, locks it, and hands the events it
// holds to each, which may be nil. A torn tail is first copied to a second
// file beside it, named as the journal with .torn-1 (-2, …) added, and then
// cut off; Repair says so. A journal damaged before its end is refused with a
// *DamageError and left as it is, as are those that Scan refuses. No time is
// read and no Gap written: that is for the caller to do.
func Resume(path string, each func(Event) error, opts ...Option) (*Writer, Repair, error) {
	if err := intake.Ordinary(path); err != nil {
		return nil, Repair{}, fmt.Errorf("journal: %w", err)
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return nil, Repair{}, fmt.Errorf("journal: %w", err)
	}
	w, repair, err := resume(f, path, each)
	if err != nil {
		f.Close()
		return nil, Repair{}, err
	}
	for _, o := range opts {
		o(w)
	}
	return w, repair, nil
}

func resume(f *os.File, path string, each func(Event) error) (*Writer, Repair, error) {
	if err := lock(f, path); err != nil {
		return nil, Repair{}, err
	}
	if each == nil {
		each = func(Event) error { return nil }
	}
	tail, err := Scan(f, each)
	if err != nil {
		return nil, Repair{}, at(path, err)
	}
	if tail.Saved != "" {
		return nil, Repair{}, &SavedError{Path: path, How: tail.Saved}
	}
	repair := Repair{}
	if tail.Torn() {
		if repair, err = setAside(f, path, tail); err != nil {
			return nil, Repair{}, fmt.Errorf("journal: set the torn end of %s aside: %w (free some space, or check that the folder can be written to)", path, err)
		}
	}
	sink := &file{f: f, path: path, end: tail.Good}
	return &Writer{sink: sink, path: path, seq: tail.Events, sum: tail.Sum, t: tail.T, size: tail.Good}, repair, nil
}

// setAside copies the torn tail, and only when the copy is on the disk cuts it
// off the journal: a crash in between leaves it in both, never in none.
func setAside(f *os.File, path string, tail Tail) (Repair, error) {
	r := Repair{Line: tail.Line(), Offset: tail.Good, Bytes: tail.Lost, Why: tail.Why}
	aside, err := nextAside(path)
	if err != nil {
		return r, err
	}
	r.File = aside.Name()
	_, err = io.Copy(aside, io.NewSectionReader(f, tail.Good, tail.Lost))
	err = errors.Join(err, aside.Sync(), aside.Close())
	if err != nil {
		os.Remove(r.File)
		return r, err
	}
	if err := syncFolder(filepath.Dir(path)); err != nil {
		return r, err
	}
	return r, errors.Join(f.Truncate(tail.Good), f.Sync())
}

// nextAside makes the first of path.torn-1, path.torn-2 … that is not taken.
func nextAside(path string) (*os.File, error) {
	for n := 1; ; n++ {
		f, err := os.OpenFile(fmt.Sprintf("%s.torn-%d", path, n), os.O_WRONLY|os.O_CREATE|os.O_EXCL, fileMode)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}
