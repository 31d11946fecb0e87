package recorded

import (
	"math"

	"example.org/halfdrop/meter/journal"
)

// Seldom is whether a meter sends only what changes: it goes through its digits one by one as
// the electrode comes to rest, with longer and longer pauses, and never says the same twice.
// While it is silent then, it shows what it showed, and a beaker at rest can be told from a line
// that fails. It is a value; the zero value is a meter of which nothing is known.
type Seldom struct {
	last  journal.Reading // the latest that was sent
	ph    float64
	t     float64 // s, when that was
	said  float64 // s, of the latest reading, sent or not
	n     int     // readings that were sent
	ones  int     // of them, the latest in a row that were one digit from the one before
	waits int     // pauses among them before a digit or two
	least float64 // s, between two of them; 0 before there were two
	pause float64 // s, the longest of the latest pauses
	same  bool    // it has said the same twice: it goes by a clock
	sure  bool    // it sends only what changes
}

// Figures of judgement for a meter that sends only what changes, a choice of this project.
const (
	seldomReads = 6     // readings from which on that is told
	seldomOnes  = 3     // digits, one by one, that they end with
	seldomWaits = 2     // pauses that they had
	seldomTimes = 1.8   // the shortest interval, from which on it is a pause
	seldomEvery = 4.0   // s between two readings that were not sent: one digit says less often what many do
	seldomFor   = 120.0 // s for which its silence is taken for a beaker at rest, at the most
	seldomPause = 8.0   // of its latest pauses: a meter that is switched off on the way had none
)

// With is with a reading more, at t, s, whose pH it is.
func (w Seldom) With(t float64, r *journal.Reading, ph float64) Seldom {
	if w.said = t; r.Same {
		return w
	}
	if w.n > 0 {
		digits := math.Abs(ph-w.ph) * math.Pow10(r.Decimals)
		dt := t - w.t
		w.pause = math.Max(dt, w.pause/2)
		if w.least == 0 || dt < w.least {
			w.least = dt
		}
		if digits < 0.5 {
			w.same, w.sure = true, false
		}
		if digits > 1.5 {
			w.ones = 0
		} else {
			w.ones++
		}
		if digits < 2.5 && dt >= seldomTimes*w.least {
			w.waits++
		}
	}
	w.last, w.ph, w.t = *r, ph, t
	w.n++
	w.sure = w.sure || !w.same && !r.Typed && w.n >= seldomReads && w.ones >= seldomOnes && w.waits >= seldomWaits
	return w
}

// Shows is what the meter shows by now, s, without having sent it again; false where that is not
// known, or it was said a moment ago.
func (w Seldom) Shows(now float64) (journal.Reading, bool) {
	if !w.sure || w.ones < seldomOnes || now-w.t > math.Min(seldomFor, seldomPause*w.pause) || now-w.said < w.Every() {
		return journal.Reading{}, false
	}
	return w.Unchanged()
}

// Every is how often, s, what such a meter shows is taken while it is silent; 0 for another one.
func (w Seldom) Every() float64 {
	if !w.sure {
		return 0
	}
	return math.Max(seldomEvery, w.least)
}

// Maybe reports whether it may be one for all that is known: it has not said the same twice.
func (w Seldom) Maybe() bool { return !w.same }

// Note says that a reading was not sent.
func (w Seldom) Note(same bool) string {
	if !same {
		return ""
	}
	return "the meter sends only what changes, and is silent: it is taken to show still what it sent last"
}

// Unchanged is the latest reading, as one that was not sent again; false before one was sent.
func (w Seldom) Unchanged() (journal.Reading, bool) {
	r := w.last
	r.Same, r.Flags = true, nil
	return r, w.n > 0
}
