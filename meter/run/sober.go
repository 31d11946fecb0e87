package run

import (
	"math"

	"example.org/halfdrop/meter/probe"
)

// An estimate of the end value is believed where a run looks for an amount when it
// lies no farther from a reading at rest than the late part of an electrode may carry
// it: this share of the last step (recordings: up to 5 %), and a little.
const (
	lateMost  = 0.06
	lateLeast = 0.03 // pH
	soberSD   = 0.03 // pH, of a reading that is taken as it is
	firstStep = 3.0  // pH, of the step into the beaker
)

// sober is an estimate, or the reading as it is when it is at rest and the estimate is
// far from it. Only runs that look for an amount do that: a wrong reading of an earlier
// composition stays in their account to the end.
func (s *State) sober(est probe.Estimate) probe.Estimate {
	return s.soberIf(est, est.State == probe.Settled)
}

// soberOf is what is known of the composition that an addition ends. Where that is of some
// seconds before, with the reading still on its way, and the addition was ordered on one at
// rest, it is this one.
func (s *State) soberOf(en *Entry) probe.Estimate {
	est := en.Before
	rest := est.State == probe.Settled || en.Advised && nearRest(est)
	if s.Looks() && !rest && en.Advised && s.order.advice.Settled {
		est, rest = s.order.est, true
	}
	return s.soberIf(est, rest)
}

// nearRest reports whether a reading that was advised upon had come to rest as far as it
// ever would. What was known before an addition may be of some seconds before it, when the
// reading was still on its way: that one is not taken as it is.
func nearRest(est probe.Estimate) bool { return math.Abs(est.End-est.Now) < stillMost }

// stillMost is how far a reading that does not come to rest may be from its end, pH, to be
// advised upon: see find.Consider.
const stillMost = 0.06

func (s *State) soberIf(est probe.Estimate, rest bool) probe.Estimate {
	if !s.Looks() || !rest {
		return est
	}
	step := firstStep
	if n := len(s.observed); n > 0 {
		step = math.Abs(est.Now - s.observed[n-1].PH)
	}
	if math.Abs(est.End-est.Now) > lateLeast+lateMost*step {
		est.End, est.SD = est.Now, math.Max(est.SD, soberSD)
		est.FinalSD = math.Min(est.FinalSD, est.SD)
	}
	return est
}
