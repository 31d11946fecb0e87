package run

import (
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/probe/sift"
	"example.org/halfdrop/meter/run/elsewhere"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// Spotted is what the readings so far say is wrong at the bench, the
// weightiest first, without what a person has looked at. Looking at a view does
// the same and asks the coach what it has in mind, too.
func (s State) Spotted(now float64) []spot.Finding {
	return s.spotted(s.Settling(now), now, coach.Advice{})
}

func (s *State) spotted(est probe.Estimate, now float64, a coach.Advice) []spot.Finding {
	c := s.scene(est, now)
	if a.Reason == coach.Mistaken {
		c.Suspects = a.Codes()
	}
	for _, code := range s.said.Codes() { // what the coach had in mind before a person looked
		if !strings.HasPrefix(code, "spot:") {
			c.Suspects = append(c.Suspects, code)
		}
	}
	return slices.DeleteFunc(s.entries.NumberedFindings(s.eye.Look(c)), func(f spot.Finding) bool {
		return f.Outside && s.putIn || slices.Contains(s.said.Codes(), f.Code())
	})
}

// forbid turns an advice on a reading that is known to be bad into a look at
// what is wrong.
func forbid(a coach.Advice, list []spot.Finding) coach.Advice {
	_, bad := view.Unsound(list)
	switch {
	case !bad:
		return a
	case a.Do == coach.Check && (a.Reason == coach.Moved || a.Reason == coach.Unfit || a.Reason == coach.Faulty):
		return a
	}
	return coach.Advice{Do: coach.Check, Reason: coach.Faulty, Aim: a.Aim, Tolerance: a.Tolerance}
}

// maybeOutside asks before the first addition whether the electrode is in the beaker, or
// waits as long as it may not have been put in yet.
func (s *State) maybeOutside(v *view.View, now float64) {
	if s.entries.Count() > 0 {
		return
	}
	b := elsewhere.Before{Since: now - s.begun, Foretold: s.foretold, Ordered: s.led, PutIn: s.putIn, Asked: s.isAsked(), Looked: s.Confirmed()}
	b.Judge(v)
}

// restedSD is the spread, pH, of a present reading that may speak of bottles
// and weighing.
const restedSD = 0.008

// scene is what chemistry adds to the readings.
func (s *State) scene(est probe.Estimate, now float64) spot.Case {
	c := spot.Case{T: now, StartLow: s.foretold.Low, StartHigh: s.foretold.High, Buffer: s.bench.Buffer, BenchTemp: float64(s.Setup.BenchTemp), Tolerance: s.Setup.Tolerance, Noise: est.Noise}
	c.Pickup, _ = s.track.Pickup()
	if moves := s.moves(); s.unexplained(est) {
		c.Step = &spot.Step{From: moves[0].Before.End, To: est.End}
	}
	if s.bench.Unweighed { // there is no chemistry to go by
		return c
	}
	h := s.history()
	for _, a := range h.Additions {
		c.Doses = append(c.Doses, spot.Dose{Stock: a.Stock, Drops: a.Drops, Charge: s.bench.LabelledCharge(a)})
	}
	obs := h.Observations
	vague := 1.5
	if s.isAsked() && s.advice.Reason == coach.Faulty.String() { // a question does not come and go with the spread
		vague = 3
	}
	if est.State == probe.Settled || est.SD < math.Max(restedSD, vague*est.FinalSD) {
		obs = append(slices.Clip(obs), coach.Observation{After: len(h.Additions), PH: est.End, SD: est.SD})
	}
	c.Stops = s.stops.Of(s.bench, h.Additions, obs)
	return c
}

// pickedUp is how far above the lower line a reading stands on the upper one, pH.
const pickedUp = 0.1

// see lets the eye take a reading.
func (s *State) see(o sift.Sample) {
	if on, left := s.track.Pickup(); left || on && o.PH > s.estimate(o.T).Now+pickedUp {
		return // it says nothing of electrode and beaker
	}
	s.eye = s.eye.Read(spot.Reading(o))
}
