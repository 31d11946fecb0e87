package shelf

import (
	"os"
	"time"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/calib/records"
)

// DropperNames are the droppers that were measured; none where they cannot be read.
func DropperNames() (out []string) {
	list, _, err := ReadDroppers()
	if err != nil {
		return nil
	}
	for _, d := range list.Dropper {
		out = append(out, d.Name)
	}
	return out
}

// ElectrodeNames are those that were calibrated under a name.
func ElectrodeNames() (out []string) {
	path, err := HistoryFile()
	if err != nil {
		return nil
	}
	f, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer f.Close()
	h, err := records.Read(f)
	if err != nil {
		return nil
	}
	return h.Named()
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
