package shelf

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/records"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/textfile"
)

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
