package shelf

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"time"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/textfile"
)

// UnfinishedPath is the file beside a history.
func UnfinishedPath(history string) string { return history + ".unfinished" }

// LoadUnfinished are those of the file, but for lines that cannot be read; a file
// that is not there has none.
func LoadUnfinished(path string) (list []walk.Unfinished, bad int, err error) {
	text, err := intake.ReadFile(path, textfile.MaxLog)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, 0, nil
	}
	if err != nil {
		return nil, 0, textfile.Refused(err)
	}
	for line := range bytes.Lines(text) {
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		u, err := walk.ReadUnfinished(line)
		if err != nil {
			bad++
			continue
		}
		list = append(list, u)
	}
	return list, bad, nil
}

// SaveUnfinished puts what was accepted in the place of what was kept of the same
// electrode, or with nil only takes that away, and lets go of what is stale. It is
// written anew beside the old file and exchanged, so that a power cut spoils neither.
func SaveUnfinished(path, electrode string, u *walk.Unfinished, now time.Time) error {
	list, _, err := LoadUnfinished(path)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	for _, o := range list {
		if calib.SameName(o.Electrode, electrode) || !o.Fresh(now) {
			continue
		}
		if err := writeUnfinished(&out, o); err != nil {
			return err
		}
	}
	if u != nil {
		if err := writeUnfinished(&out, *u); err != nil {
			return err
		}
	}
	if out.Len() == 0 {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		return nil
	}
	return exchange(path, out.Bytes(), 0o600)
}

func writeUnfinished(w io.Writer, u walk.Unfinished) error {
	line, err := u.Encode()
	if err != nil {
		return err
	}
	_, err = w.Write(line)
	return err
}
