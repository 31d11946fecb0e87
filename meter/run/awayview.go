package run

import (
	"math"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/run/view"
)

// lookAway puts a check in standards into the view.
func (s *State) lookAway(v *view.View) {
	v.Verified = s.verified
	a := &s.away
	if !a.on() {
		v.Standards = s.offered
		return
	}
	w := &view.Away{Stage: a.proc.Stage(), End: math.NaN(), Verdict: a.verdict}
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
			if e, k := g.Latest(), calib.NernstSlope(g.Temp()); e.Known && e.SD < view.VagueSD*k {
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
