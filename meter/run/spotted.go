package run

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/probe/sift"
	"example.org/halfdrop/meter/run/scene"
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

// maybeOutside turns a question about an electrode that seems to see nothing into a wait, as
// long as it may not have been put in yet: it comes from another liquid, often after the
// run was begun.
func (s *State) maybeOutside(v *view.View, now float64) {
	if s.entries.Count() > 0 {
		return
	}
	if f, far := s.farOutside(v); far {
		if v.Spotted = append([]spot.Finding{f}, v.Spotted...); now-s.begun < putInWithin && !s.isAsked() {
			v.Advice = waits(v.Advice)
		} else {
			v.Advice = coach.Advice{Do: coach.Check, Reason: coach.Faulty, Aim: v.Advice.Aim, Tolerance: v.Advice.Tolerance}
		}
		return
	}
	if s.isAsked() {
		return
	}
	believes := v.Advice.Do == coach.Add || v.Advice.Do == coach.Check && v.Advice.Reason == coach.Mistaken
	if believes && !s.led && now-s.begun < s.rinsedWithin() && math.Abs(v.Settling.Now-scene.Neutral) < rinsedBy {
		v.Advice = waits(v.Advice)
		return
	}
	f, bad := view.Unsound(v.Spotted)
	if !bad || !f.Outside || now-s.begun > putInWithin {
		return
	}
	v.Advice.Do, v.Advice.Reason = coach.Wait, coach.Settling
}

// farOutside asks whether the electrode is in the beaker, before anything is ordered on a
// reading that is far from where the plan has the beaker start, or anybody is accused by it:
// an electrode stands in a standard, in water or in its storage solution when a run is begun.
func (s *State) farOutside(v *view.View) (spot.Finding, bool) {
	believes := v.Advice.Do == coach.Add || v.Advice.Held() || v.Advice.Do == coach.Check && v.Advice.Reason == coach.Mistaken
	y := v.Settling.Now
	off := math.Max(s.foretold.Low-y, y-s.foretold.High)
	f, _ := spot.Named("spot:" + string(spot.WrongSalt))
	if !believes || s.led || s.putIn || !(off > farFromStart) || slices.ContainsFunc(s.Confirmed(), func(c string) bool { return slices.Contains(elsewhere, c) }) {
		return f, false
	}
	f.T, f.Bad, f.Outside = v.T, true, true
	f.Evidence = fmt.Sprintf("the reading is %.2f, where %.1f to %.1f is expected", y, s.foretold.Low, s.foretold.High)
	f.Try = "i when the electrode is in the beaker; c: it is, something was given already; y: another salt is in it"
	return f, true
}

// elsewhere are the codes of what a first reading far from the plan may be: who has looked
// at one of them and goes on says that it is the beaker.
var elsewhere = []string{
	"spot:" + string(spot.WrongSalt), "spot:" + string(spot.Unlogged), "spot:" + string(spot.Cap), "spot:" + string(spot.Cracked),
}

// farFromStart is how far outside of where the plan has the beaker start, pH, a reading is
// rather that of another liquid. What care allows is in the range already.
const farFromStart = 1.0

// putInWithin is how long after its beginning, s, an electrode may be put in that somebody
// is not asked about.
const putInWithin = 45.0

// waits is an advice that waits for the reading instead.
func waits(a coach.Advice) coach.Advice {
	return coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: a.Aim, Tolerance: a.Tolerance}
}

// A first reading this near to the pH of the standard that electrodes mostly come from is
// not ordered on so soon after the beginning, s: it may be the standard still. Where the plan
// allows the start to lie anywhere in a range of more than wideStart, pH, that it lies just
// there is less likely than that nobody has put the electrode in yet.
const (
	rinsedBy  = 0.06
	rinsedFor = 20.0
	wideStart = 1.2
)

// rinsedWithin is that time, s.
func (s *State) rinsedWithin() float64 {
	if s.foretold.High-s.foretold.Low > wideStart {
		return putInWithin
	}
	return rinsedFor
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
	s.eye = s.eye.Read(o.T, o.PH, o.Temp)
}
