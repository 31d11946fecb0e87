package run

import (
	"math"

	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/sober"
	"example.org/halfdrop/meter/run/view"
)

// recall keeps the readings of the last seconds, where an amount is looked for.
func (s *State) recall(t, y float64) {
	if s.Looks() {
		s.recent = s.recent.Push(t, y)
	}
}

// sober is an estimate where the readings bear it out, in a run that looks for an amount.
func (s *State) sober(est probe.Estimate) probe.Estimate {
	if !s.Looks() {
		return est
	}
	return sober.Of(est, s.step(est), s.recent.Flat())
}

// soberOf is what is known of the composition that an addition ends. Where that is of some
// seconds before, with the reading still on its way, and the addition was ordered on one at
// rest, it is this one.
func (s *State) soberOf(en *view.Entry) probe.Estimate {
	est := en.Before
	if !s.Looks() || !en.Advised {
		return s.sober(est)
	}
	if s.order.Advice.Settled && (est.State != probe.Settled || sober.Far(est, s.step(est))) {
		est = s.order.Est
		est.State = probe.Settled
		return sober.Of(est, s.step(est), true)
	}
	if ended, ok := sober.Ended(est, s.step(est)); ok {
		return ended
	}
	return s.sober(est)
}

// step is how far the reading has gone since the composition before, pH.
func (s *State) step(est probe.Estimate) float64 {
	if n := len(s.observed); n > 0 {
		return math.Abs(est.Now - s.observed[n-1].PH)
	}
	return sober.First
}
