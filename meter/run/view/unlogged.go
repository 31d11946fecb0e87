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
	switch what := v.withdrawn(); {
	case what != "" && v.Advice.Reason == coach.Moved: // that is in its sentence
		return "enter what fell, if anything did"
	case what != "":
		return fmt.Sprintf("withdrawn: %s; nothing is on record since: enter what was added", what)
	}
	if n := len(v.Entries); n > 0 && v.T-v.Entries[n-1].T < justRecorded {
		return fmt.Sprintf("on record just now: %s; enter what was added beside that", v.amountOf(v.Entries[n-1]))
	}
	return "nothing is on record since: enter what was added"
}

// withdrawn is the latest addition, where a person has withdrawn it; empty where it counts.
func (v View) withdrawn() string {
	if n := len(v.Entries); n > 0 && v.Entries[n-1].Undone {
		return v.amountOf(v.Entries[n-1])
	}
	return ""
}

// amountOf is an addition in words: "29 drops of NaOH 1 M".
func (v View) amountOf(e Entry) string {
	what := Amount(e.Drops, e.Volume)
	if e.Stock < len(v.Titrants) {
		what += " of " + v.Titrants[e.Stock]
	}
	return what
}

// otherNote is the note of the readings, where the CHECK does not say the same, nor tells
// somebody who is asked something how to do better next time.
func (v View) otherNote() string {
	if v.Advice.Do == coach.Check && len(v.Spotted) > 0 && (v.Advice.Reason == coach.Moved && v.Spotted[0].Fault == spot.Unlogged || v.Spotted[0].Fault == spot.Early && v.Note == v.Spotted[0].Words()) {
		return ""
	}
	return v.Note
}
