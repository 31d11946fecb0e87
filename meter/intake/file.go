package intake

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// Errors of files that are not read.
var (
	ErrKind = errors.New("not an ordinary file") // something else than an ordinary file: a FIFO, a device, a folder
	ErrSize = errors.New("too large")            // a file larger than what it is for
)

// ReadFile reads an ordinary file of at most limit bytes. The errors are ErrKind,
// ErrSize and those of the system, with the path.
func ReadFile(path string, limit int64) ([]byte, error) {
	f, err := Open(path, limit)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return nil, err
	}
	if int64(len(data)) > limit { // it has grown since it was looked at
		return nil, tooLarge(path, limit)
	}
	return data, nil
}

// Open opens an ordinary file of at most limit bytes for reading. It never waits
// for somebody to write into a FIFO. The errors are those of ReadFile.
func Open(path string, limit int64) (*os.File, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if err := ordinary(path, info, limit); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_RDONLY|nonblock, 0)
	if err != nil {
		return nil, err
	}
	if info, err = f.Stat(); err == nil { // what was looked at may have been replaced
		err = ordinary(path, info, limit)
	}
	if err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// Ordinary reports whether path, if it exists, is an ordinary file; for files
// that are opened by somebody else.
func Ordinary(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return nil //nolint:nilerr // what is wrong with it shows when it is opened
	}
	return ordinary(path, info, -1)
}

func ordinary(path string, info fs.FileInfo, limit int64) error {
	if m := info.Mode(); !m.IsRegular() {
		return &fs.PathError{Op: "read", Path: path, Err: fmt.Errorf("%w: it is %s", ErrKind, kind(m))}
	}
	if limit >= 0 && info.Size() > limit {
		return tooLarge(path, limit)
	}
	return nil
}

func tooLarge(path string, limit int64) error {
	return &fs.PathError{Op: "read", Path: path, Err: fmt.Errorf("%w: more than %s", ErrSize, size(limit))}
}

// kind is what a file is that is no ordinary one.
func kind(m fs.FileMode) string {
	switch {
	case m.IsDir():
		return "a folder"
	case m&fs.ModeNamedPipe != 0:
		return "a pipe"
	case m&fs.ModeSocket != 0:
		return "a socket"
	case m&fs.ModeDevice != 0:
		return "a device"
	}
	return "something else"
}

// size is a number of bytes in words.
func size(n int64) string {
	for _, unit := range []struct {
		bytes int64
		name  string
	}{{1 << 30, "GiB"}, {1 << 20, "MiB"}, {1 << 10, "KiB"}} {
		if n >= unit.bytes {
			return fmt.Sprintf("%d %s", n/unit.bytes, unit.name)
		}
	}
	return fmt.Sprintf("%d bytes", n)
}
