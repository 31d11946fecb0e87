package journal

import (
	"iter"
	"time"
)

// Dose is an addition as it stands at the end of a run, with what was entered
// at first.
type Dose struct {
	Seq       int64 // of the event that entered it
	At        time.Time
	T         float64  // s
	Given     Addition // what counts: as corrected last, nothing when withdrawn
	Entered   Addition
	Corrected bool
	Withdrawn bool
	Reason    string // of the last change
}

// Doses gathers the additions of a run in the order they were entered, with
// every correction and undo carried out. One that names no addition before it
// changes nothing; an undo is final.
func Doses(events iter.Seq[Event]) []Dose {
	var doses []Dose
	place := map[int64]int{}
	for e := range events {
		switch {
		case e.Added != nil:
			place[e.Seq] = len(doses)
			doses = append(doses, Dose{Seq: e.Seq, At: e.At, T: e.T, Given: *e.Added, Entered: *e.Added})
		case e.Undo != nil:
			if i, ok := place[e.Undo.Seq]; ok {
				doses[i].withdraw(e.Undo.Reason)
			}
		case e.Correct != nil:
			if i, ok := place[e.Correct.Seq]; ok && !doses[i].Withdrawn {
				doses[i].Given, doses[i].Corrected, doses[i].Reason = e.Correct.To, true, e.Correct.Reason
			}
		}
	}
	return doses
}

func (d *Dose) withdraw(reason string) {
	d.Withdrawn, d.Reason = true, reason
	d.Given = Addition{Titrant: d.Given.Titrant}
}
