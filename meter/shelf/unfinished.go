package shelf

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/records"
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

// HistoryFile is the file in the data folder in which calibrations are kept.
func HistoryFile() (string, error) { return inData("calibrations.jsonl") }

// AppendHistory writes a calibration behind the others and syncs it. A line
// that broke off earlier is ended first, so that it spoils only itself.
func AppendHistory(path string, c calib.Calibration) error {
	line, err := c.Encode()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		return err
	}
	if info, err := f.Stat(); err == nil && info.Size() > 0 {
		var last [1]byte
		if _, err := f.ReadAt(last[:], info.Size()-1); err == nil && last[0] != '\n' {
			line = append([]byte("\n"), line...)
		}
	}
	_, err = f.Write(line)
	return errors.Join(err, f.Sync(), f.Close())
}

// LoadHistory reads the history; a file that is not there is an empty one.
func LoadHistory(path string) (records.History, error) {
	f, err := intake.Open(path, textfile.MaxLog)
	if errors.Is(err, fs.ErrNotExist) {
		return records.History{}, nil
	}
	if err != nil {
		return records.History{}, textfile.Refused(err)
	}
	defer f.Close()
	h, err := records.Read(f)
	if err != nil {
		err = fmt.Errorf("%s: %w", path, err)
	}
	return h, err
}
