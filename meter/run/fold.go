package run

import (
	"fmt"

	"example.org/halfdrop/meter/journal"
)

// Fold is a run that is built up from the events of its journal. The zero
// value waits for the start event.
type Fold struct {
	State State
	First journal.Event // the start
	Last  journal.Event // the latest event
}

// Take folds the next event of the journal.
func (f *Fold) Take(e journal.Event) error {
	next, err := f.State, error(nil)
	if f.First.Kind == "" {
		f.First = e
		next, err = Open(e)
	} else if err = next.absorb(&e); err != nil {
		err = fmt.Errorf("run: %w", err)
	}
	if err != nil {
		return fmt.Errorf("event %d: %w", e.Seq, err)
	}
	f.State, f.Last = next, e
	return nil
}
