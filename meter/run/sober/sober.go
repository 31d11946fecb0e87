// Package sober is an estimate of where a reading ends, as far as the readings bear it out,
// for a run that looks for an amount: a wrong reading of an earlier composition stays in the
// account of such a run to the end; pure.
package sober

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
	farShare  = 0.25 // of the way that an estimate goes beyond the reading, as its spread at least

	stillMost = 0.06 // pH from its end, of a reading that never comes to rest and is advised upon: see find.Consider
)

// First is the step into the beaker, pH, where nothing was read before.
const First = 3.0

// Far reports whether an estimate is farther from the reading than a late part carries it
// after a step, pH.
func Far(est probe.Estimate, step float64) bool {
	return math.Abs(est.End-est.Now) > lateLeast+lateMost*step
}

// Of is an estimate after a step, pH, as far as readings bear it out. Waiting may make one
// little better while the reading is on its way; where its end is farther than a late part
// may carry it, the reading is waited for, and taken as it is once it is flat.
func Of(est probe.Estimate, step float64, flat bool) probe.Estimate {
	if est.State != probe.Settled || !Far(est, step) {
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

// Ended is an estimate of a composition that an advised addition has ended: one that is
// nearly at rest was at rest. False where it was not.
func Ended(est probe.Estimate, step float64) (probe.Estimate, bool) {
	if math.Abs(est.End-est.Now) >= stillMost {
		return est, false
	}
	est.State = probe.Settled
	return Of(est, step, true), true
}
