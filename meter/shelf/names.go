package shelf

import (
	"strings"
	"time"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/records"
	"example.org/halfdrop/meter/phrase"
)

// DropperNames are the droppers that were measured; none where they cannot be read.
func DropperNames() (out []string) {
	list, _, err := ReadDroppers()
	if err != nil {
		return nil
	}
	return phrase.Each(list.Dropper, func(d Dropper) string { return d.Name })
}

// ElectrodeNames are those that were calibrated under a name.
func ElectrodeNames() []string { return history().Named() }

// history are the calibrations in the data folder; none where they cannot be read.
func history() (h records.History) {
	path, err := HistoryFile()
	if err != nil {
		return h
	}
	if h, err = LoadHistory(path); err != nil {
		return records.History{}
	}
	return h
}

// CalibratedElectrode is an electrode with what its latest calibration says, in words.
type CalibratedElectrode struct{ Name, State string }

// CalibratedElectrodes are those that were calibrated under a name, with what is in use of
// each at a time.
func CalibratedElectrodes(now time.Time) (out []CalibratedElectrode) {
	h := history()
	for _, name := range h.Named() {
		e := CalibratedElectrode{Name: name, State: "not accepted"}
		line, check := h.Current(name)
		for _, c := range []*calib.Calibration{check, line} { // a line says more than a check
			if c != nil && c.Usable() {
				e.State = strings.TrimPrefix(c.Brief(now), name+" ") + " ago"
			}
		}
		out = append(out, e)
	}
	return out
}

// BenchNames are the droppers, bottles and electrodes that are remembered.
func BenchNames() (out []string) {
	b, _, err := OpenBench("")
	if err != nil {
		return nil
	}
	return b.Names(time.Now())
}

// OpenBench reads the file named, or that of the data folder.
func OpenBench(path string) (b bench.Book, at string, err error) {
	if at = path; at == "" {
		if at, err = BenchFile(); err != nil {
			return b, at, err
		}
	}
	b, err = ReadBench(at)
	return b, at, err
}
