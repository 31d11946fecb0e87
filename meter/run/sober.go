package run

import (
	"math"

	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// An estimate of the end value is believed where a run looks for an amount when it
// lies no farther from a reading at rest than the late part of an electrode may carry
// it: this share of the last step (recordings: up to 5 %), and a little.
const (
	lateMost  = 0.06
	lateLeast = 0.03 // pH
	soberSD   = 0.03 // pH, of a reading that is taken as it is
	firstStep = 3.0  // pH, of the step into the beaker
	farShare  = 0.25 // of the way that an estimate goes beyond the reading, as its spread at least

	stillMost = 0.06 // pH from its end, of a reading that never comes to rest and is advised upon: see find.Consider
)

// recall keeps the readings of the last seconds, where an amount is looked for.
func (s *State) recall(t, y float64) {
	if s.Looks() {
		s.recent = s.recent.Push(t, y)
	}
}

// sober is an estimate where the readings bear it out. Waiting may make an estimate little
// better while the reading is on its way; where its end is farther than a late part may carry
// it, the reading is waited for, and taken as it is once it is at rest. Only runs that look
// for an amount do that: a wrong reading of an earlier composition stays in their account to
// the end.
func (s *State) sober(est probe.Estimate) probe.Estimate { return s.soberIf(est, s.recent.Flat()) }

// soberOf is what is known of the composition that an addition ends. Where that is of some
// seconds before, with the reading still on its way, and the addition was ordered on one at
// rest, it is this one.
func (s *State) soberOf(en *view.Entry) probe.Estimate {
	est := en.Before
	switch {
	case !s.Looks():
	case en.Advised && s.order.advice.Settled && (est.State != probe.Settled || s.far(est)):
		est = s.order.est
		est.State = probe.Settled
		return s.soberIf(est, true)
	case en.Advised && math.Abs(est.End-est.Now) < stillMost:
		est.State = probe.Settled
		return s.soberIf(est, true)
	}
	return s.sober(est)
}

// far reports whether an estimate is farther from the reading than a late part carries it.
func (s *State) far(est probe.Estimate) bool {
	step := firstStep
	if n := len(s.observed); n > 0 {
		step = math.Abs(est.Now - s.observed[n-1].PH)
	}
	return math.Abs(est.End-est.Now) > lateLeast+lateMost*step
}

func (s *State) soberIf(est probe.Estimate, flat bool) probe.Estimate {
	if !s.Looks() || est.State != probe.Settled || !s.far(est) {
		return est
	}
	if !flat {
		est.State, est.SD = probe.Settling, math.Hypot(est.SD, farShare*(est.End-est.Now))
		return est
	}
	est.End, est.SD = est.Now, math.Max(est.SD, soberSD)
	est.FinalSD = math.Min(est.FinalSD, est.SD)
	return est
}
