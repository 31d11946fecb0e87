package view

import (
	"fmt"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/spot"
)

// A reading that moved with nothing on record: what is on record is said, so that nobody is told
// that there is nothing a second after it was keyed, and keys it twice.

// justRecorded is for how long, s, the latest addition may be what moves a reading, in the eyes
// of the person who gave it (a choice): the slowest electrodes show most of a step within it.
const justRecorded = 60.0

// enterWhat is what is on record of what may have moved a reading, and what is to be entered:
// of an addition that was withdrawn, or keyed just now, nobody says that there was none.
func (v View) enterWhat() string {
	if n := len(v.Entries); n > 0 {
		e := v.Entries[n-1]
		what := Amount(e.Drops, e.Volume)
		if e.Stock < len(v.Titrants) {
			what += " of " + v.Titrants[e.Stock]
		}
		switch {
		case e.Undone:
			return fmt.Sprintf("withdrawn: %s; nothing is on record since: enter what was added", what)
		case v.T-e.T < justRecorded:
			return fmt.Sprintf("on record just now: %s; enter what was added beside that", what)
		}
	}
	return "nothing is on record since: enter what was added"
}

// otherNote is the note of the readings, where the CHECK does not say the same.
func (v View) otherNote() string {
	if v.Advice.Do == coach.Check && v.Advice.Reason == coach.Moved && len(v.Spotted) > 0 && v.Spotted[0].Fault == spot.Unlogged {
		return ""
	}
	return v.Note
}
