package run

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib"
)

// Away is a check in standards as a front end shows it.
type Away struct {
	Stage    calib.Stage // what it waits for; Done when the electrode is to go back
	Standard string      // the one in hand
	Name     string      // its nominal value
	Number   int         // of it, from 1
	Of       int
	Known    bool    // it was calibrated in that standard: the same bottle tells more
	Odd      string  // why it is asked about, in the stage Ask
	End      float64 // pH that an ideal electrode would show where the reading ends; NaN when unknown
	SD       float64 // its spread, pH
	Verdict  *calib.Verification
}

// lookAway puts a check in standards into the view.
func (s *State) lookAway(v *View) {
	v.Verified = s.verified
	a := &s.away
	if !a.on() {
		v.Standards = s.offered
		return
	}
	w := &Away{Stage: a.proc.Stage(), End: math.NaN(), Verdict: a.verdict}
	if a.back() {
		w.Stage = calib.Done
	} else {
		c, n, of := a.proc.Current()
		w.Standard, w.Name, w.Number, w.Of = c.Standard.String(), c.Standard.Name, n, of
		w.Known = s.calibratedIn(c.Standard)
		if w.Stage == calib.Ask {
			w.Odd = a.proc.Why()
		}
		if g := a.proc.Gather(); g != nil {
			if e, k := g.Latest(), calib.NernstSlope(g.Temp()); e.Known && e.SD < vague*k {
				w.End, w.SD = calib.IdealPH(e.MV, g.Temp()), e.SD/k
			}
		}
	}
	v.Away = w
}

// calibratedIn reports whether the line in use rests on a standard.
func (s *State) calibratedIn(st calib.Standard) bool {
	c := s.inUse()
	return c != nil && slices.ContainsFunc(c.Points, func(p calib.Point) bool { return p.Standard == st.Name && p.Set == st.Set })
}

// awayAdvice is what there is to do while the electrode is out of the beaker.
func (s *State) awayAdvice(idle coach.Advice) coach.Advice {
	idle.Reason = coach.InStandard
	if !s.away.back() && s.away.proc.Stage() == calib.Ask {
		idle.Do = coach.Check
	}
	return idle
}

// awaySentence is what to do in a check, in capitals first.
func (v View) awaySentence() string {
	w := v.Away
	of := ""
	if w.Of > 1 {
		of = fmt.Sprintf(" (%d of %d)", w.Number, w.Of)
	}
	switch w.Stage {
	case calib.Immerse:
		return fmt.Sprintf("DIP the electrode into standard %s%s", w.Standard, of)
	case calib.Ask:
		return fmt.Sprintf("CHECK electrode and standard %s%s", w.Standard, of)
	case calib.Done:
		return "BACK into the beaker with the electrode"
	}
	return fmt.Sprintf("WAIT for the reading in %s%s", w.Standard, of)
}

// awayReason is why, or what is known so far.
func (v View) awayReason() string {
	const rinse = "rinse and blot, "
	w := v.Away
	switch {
	case w.Stage == calib.Immerse && v.ByHand:
		return rinse + w.portion() + "; type what the display shows once it is steady"
	case w.Stage == calib.Immerse:
		return rinse + w.portion() + "; Enter when it is in, Esc ends the check"
	case w.Stage == calib.Ask && v.ByHand:
		return ended(w.Odd) + "type it again, or c takes the value"
	case w.Stage == calib.Ask:
		return ended(w.Odd) + "Enter when it is in again, c takes the value, Esc ends the check"
	case w.Stage == calib.Done && w.Verdict != nil:
		return w.Verdict.Summary() + "; it changes no reading. Rinse and blot; Enter when it is back"
	case w.Stage == calib.Done:
		return "nothing was read in a standard; rinse and blot; Enter when it is back"
	case math.IsNaN(w.End):
		return "too early to say where it will end; it is taken automatically"
	}
	return fmt.Sprintf("on its way to %.2f ± %.2f; it is taken automatically", w.End, math.Max(w.SD, 0.01))
}

// portion says what to pour. What a label is off by is no shift when both were poured
// from one bottle, and would be taken for one when they were not.
func (w *Away) portion() string {
	if w.Known {
		return "fresh portion from the bottle used for the calibration"
	}
	return "fresh portion at bench temperature"
}

// ended is a sentence with what parts it from the next words.
func ended(text string) string {
	if strings.HasSuffix(text, "?") {
		return text + " "
	}
	return text + "; "
}
