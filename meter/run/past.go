package run

import (
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/view"
)

// For looking back on a run: what the coach knew at some moment of it.

// Bench is what the coach was told, at the temperature of the beaker.
// It must not be changed.
func (s State) Bench() *coach.Bench { return s.bench }

// History is the additions in force and the settled readings of the earlier
// compositions.
func (s State) History() coach.History { return s.history() }

// Confirmed are the codes of what a person had looked at, and is not asked again.
func (s State) Confirmed() []string { return s.said.PassedOver(s.entries) }

// Settling is the estimate of the present reading's end.
func (s State) Settling(now float64) probe.Estimate { return s.estimate(now) }

// Safe is what would have been advised had the present reading had to do:
// the spread of a reading that is still moving counts, but nobody waits for a
// better one. It is a wait when the reading is too vague for any addition.
func (s State) Safe(now float64) coach.Advice {
	est := s.Settling(now)
	if est.State == probe.Empty || est.SD >= view.VagueSD {
		return coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: s.bench.Forecast().Aim, Tolerance: s.Setup.Tolerance}
	}
	r := s.request(est)
	r.Now.Settled, r.Now.FinalSD = true, r.Now.SD
	return given.InItsUnit(s.Setup, s.bench.Advise(r))
}

// Noted is what is on record of the plate.
func (s State) Noted() journal.Note { return s.noted }

// MadeUp is the reading of the finished solution; nil before one.
func (s State) MadeUp() *journal.Making { return s.made }

// Ended is how the run was closed; nil while it goes on. It must not be changed.
func (s State) Ended() *journal.End { return s.ended }

// Version counts the events that changed more than the present reading.
func (s State) Version() int { return s.version }

// PH is the last reading as the run took it; NaN before one.
func (s State) PH() float64 {
	if !s.last.any {
		return math.NaN()
	}
	return s.last.ph
}

// LookAgain is Look with the curve, which is taken from an earlier view while
// nothing but the present reading has changed.
func (s State) LookAgain(now float64, old view.View) view.View {
	v := s.Look(now)
	s.Draw(&v, old)
	return v
}

// Draw puts the curve into a view of this state: that of an earlier view while nothing but
// the present reading has changed, else as believed now.
func (s State) Draw(v *view.View, old view.View) {
	if v.Curve = old.Curve; v.Version != old.Version || v.Curve == nil {
		v.Curve = s.Curve(v.Span())
	}
}
