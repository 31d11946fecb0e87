package view

import (
	"fmt"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/probe"
)

// Sentence is what to do now, beginning with WAIT, ADD, ADDING, GIVEN?, HANDS OFF,
// DONE, CHECK, DIP or BACK.
func (v View) Sentence() string {
	a := v.Advice
	if v.Silent != "" {
		return "YOU decide: what to add, how much, or to wait"
	}
	if v.Away != nil {
		return v.awaySentence()
	}
	switch a.Do {
	case coach.Add:
		if v.Falling != nil {
			return "ADDING " + Amount(a.Drops, a.Volume) + " of " + v.Titrant
		}
		return "ADD " + Amount(a.Drops, a.Volume) + " of " + v.Titrant
	case coach.Stop:
		if v.Doubtful != "" {
			return v.doneWords() + ", but " + v.Doubtful
		}
		return v.doneWords()
	case coach.Check:
		if a.Reason == coach.Unsaid && v.Falling != nil && v.Falling.Past {
			return "NO MORE of " + v.Titrant
		}
		if a.Reason == coach.Unsaid {
			return "GIVEN? " + v.checkWords()
		}
		return "CHECK " + v.checkWords()
	}
	if v.Next != nil {
		return v.readWords()
	}
	if a.Reason == coach.HandsOff {
		return "HANDS OFF, it will end at " + v.ph(v.Settling.End)
	}
	return "WAIT " + v.waitWords()
}

func (v View) doneWords() string {
	if v.Found != nil {
		return "DONE, " + v.Found.Words()
	}
	if !v.AtRest {
		return "DONE, the aim is reached"
	}
	return "DONE, read " + v.ph(v.Read.PH)
}

func (v View) waitWords() string {
	switch v.Advice.Reason {
	case coach.Settling:
		if f, bad := Unsound(v.Spotted); bad && f.Outside {
			return "for the electrode to be in the beaker"
		}
	case coach.NoReading:
		return "for the first reading"
	case coach.Stale:
		return "no reading from the meter"
	case coach.Faulty:
		if v.Unread {
			return "the meter's lines cannot be read"
		}
		if v.Link == "lost" || v.Link == "quiet" {
			return "no signal from the meter"
		}
		return "the reading cannot be used"
	}
	switch v.Advice.Reason {
	case coach.NoTitrant, coach.NoWayBack, coach.DropTooBig, coach.NoRoom:
		return "for another bottle"
	case coach.Misfit, coach.NoPoint:
		return "for a reading that tells more"
	}
	if v.Settling.State == probe.Moving {
		return "the reading is moving"
	}
	if v.Settled() {
		return "for a better reading"
	}
	return "for the reading to settle"
}

func (v View) checkWords() string {
	switch v.Advice.Reason {
	case coach.Mistaken:
		names := make([]string, len(v.Advice.Mistakes))
		for i, m := range v.Advice.Mistakes {
			names[i] = m.Name
		}
		return "this looks like " + strings.Join(names, ", or ")
	case coach.Faulty:
		if f, bad := Unsound(v.Spotted); bad && f.Outside { // it may be the beaker's after all
			return "whether the electrode is in the beaker"
		}
		return "the reading is not that of the beaker"
	case coach.NoRoom:
		return "the room left under the mark"
	case coach.NoTitrant:
		if v.Aside != "" {
			return v.Aside + ": nothing of it was given, twice"
		}
		return "the titrant: none here moves the pH the right way"
	case coach.NoWayBack:
		return "past the aim, and no titrant here titrates back"
	case coach.DropTooBig:
		return "one drop is too much"
	case coach.ManyDrops:
		return fmt.Sprintf("the bottle: that is %.0f drops", v.Advice.Drops)
	case coach.Stuck:
		return "the reading does not move, and should"
	case coach.Misfit:
		return "bench and notes: the readings do not fit"
	case coach.NoPoint:
		return "the titrant: no equivalence point is in reach"
	case coach.Unsaid:
		return Amount(v.Advice.Drops, v.Advice.Volume) + " of " + v.Titrant
	case coach.Unfit:
		return "the calibration before you end at " + v.ph(v.Settling.End) + ": " + v.Doubtful
	case coach.Moved:
		if what := v.withdrawn(); what != "" && v.Turned == "" {
			return fmt.Sprintf("the reading went from %s to %s, with %s withdrawn", v.ph(v.Level), v.ph(v.PH), what)
		}
		if v.Turned != "" {
			return fmt.Sprintf("the reading went from %s to %s", v.ph(v.Level), v.ph(v.PH))
		}
		return fmt.Sprintf("the reading went from %s to %s by itself", v.ph(v.Level), v.ph(v.PH))
	}
	return "the beaker"
}

// readWords say when the next value is wanted.
func (v View) readWords() string {
	switch n := v.Next; {
	case n.Stands && n.In >= 1:
		return "HANDS OFF, then type the pH once it is steady"
	case n.Stands:
		return "READ the pH once it is steady, and type it"
	case n.Creeps && n.In >= 1:
		return fmt.Sprintf("WAIT %.0f s, then type the pH again", n.Told())
	case n.In >= 1:
		return fmt.Sprintf("WAIT %.0f s, or until it is steady, then type the pH", n.Told())
	}
	return "READ the pH and type it"
}

// Due reports whether a value is wanted now.
func (v View) Due() bool { return v.Next != nil && v.Next.In < 1 }

// awaySentence is what to do in a check, in capitals first.
func (v View) awaySentence() string {
	w := v.Away
	of := ""
	if w.Of > 1 {
		of = fmt.Sprintf(" (%d of %d)", w.Number, w.Of)
	}
	switch w.Stage {
	case walk.Immerse:
		return fmt.Sprintf("DIP the electrode into standard %s%s", w.Standard, of)
	case walk.Ask:
		return fmt.Sprintf("CHECK electrode and standard %s%s", w.Standard, of)
	case walk.Done:
		return "BACK into the beaker with the electrode"
	}
	return fmt.Sprintf("WAIT for the reading in %s%s", w.Standard, of)
}

// Inside reports whether the run has been read at rest within the tolerance.
func (v View) Inside() bool { return v.AtRest && v.Advice.Do == coach.Stop || v.Reached }
