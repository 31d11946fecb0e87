package typed

import (
	"math"

	"example.org/halfdrop/meter/run/view"
)

// Figures of judgement of when a value is wanted, a choice of this project.
const (
	readFirst  = 20.0 // s after an addition, the soonest that a value is wanted
	readLatest = 60.0 // and the latest
	readAgain  = 20.0 // s from one value to the next of the same composition
	readCreep  = 40.0 // s to the next one when it stands, and creeps unseen
	readMixing = 8.0  // s for an addition to mix in
	readTaus   = 4.0  // time constants of the electrode that are worth waiting for
)

// Fresh is how old a value that was typed may be to add on it, s, a choice of this project.
const Fresh = 300.0

// Wanted is what decides when a person is to read off the next value.
type Wanted struct {
	Away, Back bool    // the electrode is out for a check in standards; it is to come back
	Waits      bool    // nothing else is to be done
	HandsOff   bool    // and nothing is to be touched
	Nothing    bool    // there is no value, or none to go by
	Unread     bool    // none since the latest addition
	Stands     bool    // the latest was said to stand
	From       float64 // s, when the latest addition was given, or the first value read
	Last       float64 // s, when the latest value was read
	Tau        float64 // s, time constant of the electrode
}

// Next is when a value is wanted; nil when none is.
func (w Wanted) Next(now float64) *view.Next {
	switch {
	case w.Away && !w.Back:
		return &view.Next{Stands: true}
	case !w.Waits || w.Away:
		return nil
	case w.Nothing:
		return &view.Next{}
	case w.Unread:
		wait := math.Ceil((readMixing+readTaus*w.Tau)/view.ToldStep) * view.ToldStep
		return &view.Next{In: w.From + min(max(wait, readFirst), readLatest) - now, Mixing: true}
	case w.Stands && !w.HandsOff:
		return &view.Next{In: w.Last + readCreep - now, Creeps: true}
	}
	return &view.Next{In: w.Last + readAgain - now, Stands: w.HandsOff}
}
