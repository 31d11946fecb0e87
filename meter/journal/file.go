package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// file is a journal on the disk as a Sink: locked, and written at an offset of
// its own. (Append mode would do on Unix, but on Windows such a file cannot be
// truncated.)
type file struct {
	f    *os.File
	path string
	end  int64
}

func (f *file) Write(b []byte) (int, error) {
	n, err := f.f.WriteAt(b, f.end)
	f.end += int64(n)
	return n, bare(err)
}

// bare is an error without the path, which the Writer names itself.
func bare(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// Sync also looks whether the file is still where the user believes it to be:
// bytes synced to a file without a name are as good as lost.
func (f *file) Sync() error {
	if err := f.f.Sync(); err != nil {
		return bare(err)
	}
	mine, err := f.f.Stat()
	if err != nil {
		return bare(err)
	}
	there, err := os.Stat(f.path)
	if err != nil {
		return fmt.Errorf("%w: %w", ErrRemoved, bare(err))
	}
	if !os.SameFile(mine, there) {
		return fmt.Errorf("%w: another file has taken its place", ErrRemoved)
	}
	return nil
}

func (f *file) Truncate(size int64) error {
	if err := f.f.Truncate(size); err != nil {
		return bare(err)
	}
	f.end = size
	return nil
}

func (f *file) Close() error { return f.f.Close() }

// Journals hold who did what and when: they are for their owner alone.
const (
	fileMode   = 0o600
	folderMode = 0o700
)

// Create starts a journal in a new file, with the folders it needs, and locks
// it. The event has to be of kind Started; Start.Format may be left 0. A file
// that exists is refused with fs.ErrExist. On an error no file is left behind.
func Create(path string, first Event, opts ...Option) (*Writer, error) {
	if first.Start != nil && first.Start.Format == 0 {
		s := *first.Start
		s.Format = Format
		first.Start = &s
	}
	if err := makeFolder(filepath.Dir(path)); err != nil {
		return nil, fmt.Errorf("journal: the folder for %s: %w (choose a place you may write to)", path, err)
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, fileMode)
	if errors.Is(err, fs.ErrExist) {
		return nil, fmt.Errorf("journal: %w (resume the run, or choose another name)", err)
	}
	if err != nil {
		return nil, fmt.Errorf("journal: %w (choose a place you may write to)", err)
	}
	if err := lock(f, path); err != nil {
		f.Close()
		if !errors.Is(err, ErrLocked) { // else it is already another's
			os.Remove(path)
		}
		return nil, err
	}
	w := NewWriter(&file{f: f, path: path}, opts...)
	w.path = path
	if err := begin(w, &first); err != nil {
		f.Close()
		os.Remove(path)
		return nil, err
	}
	return w, nil
}

// begin writes the first line and makes sure that the file's name is kept too.
func begin(w *Writer, first *Event) error {
	if err := w.Append(first); err != nil {
		return err
	}
	if err := syncFolder(filepath.Dir(w.path)); err != nil {
		return w.wrap(err)
	}
	return nil
}

// makeFolder makes a folder and those above it that are missing, and syncs the
// one above each, so that a power cut does not take the new names away.
func makeFolder(dir string) error {
	var made []string
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Stat(d); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		made = append(made, d)
	}
	if err := os.MkdirAll(dir, folderMode); err != nil {
		return err
	}
	for _, d := range made {
		if err := syncFolder(filepath.Dir(d)); err != nil {
			return err
		}
	}
	return nil
}

// syncFolder brings the names in a folder to the disk. Windows has no such
// call, some file systems refuse it, and a folder that may be used need not be
// readable; their names are safe without, or cannot be made so.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if errors.Is(err, fs.ErrPermission) {
		return nil
	}
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !noFolderSync(err) {
		return err
	}
	return nil
}

// Busy reports whether another program is writing a journal now. What cannot be opened, or
// be locked on this system, is not.
func Busy(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	return errors.Is(lock(f, path), ErrLocked)
}
