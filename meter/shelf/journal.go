package shelf

import (
	"os"
	"time"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
)

// CreateJournal opens a new journal with its first event.
func CreateJournal(path string, first *journal.Event) (*journal.Writer, error) {
	w, err := journal.Create(path, *first, journal.WithClock(time.Now))
	if err != nil {
		return nil, remedy.With(err, "name a file that does not exist yet with --journal FILE")
	}
	return w, nil
}

// LeftAt is when a run was left: the time of its last event, or the last change of its
// file where that was earlier, as on a simulated bench whose time runs faster.
func LeftAt(path string, last time.Time) time.Time {
	if info, err := os.Stat(path); err == nil && info.ModTime().Before(last) {
		return info.ModTime()
	}
	return last
}
