package shelf

import (
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
