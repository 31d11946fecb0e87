package run

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/view"
)

// turnedBy is by how much, pH, a reading has to have gone against an addition on record for
// it to be no scatter and no slip of the pen. A choice of this project.
const turnedBy = 0.3

// turned is what speaks against the reading after the latest addition, in words, where it has
// come to rest against the addition although others of its bottle have led their way, or at
// the pH of a standard far from where it was to lead: the electrode has left the beaker as it
// fell, or another bottle was taken. Nothing is to be ordered on that: 210 drops of strong base
// were, on the reading of a standard. Empty where nothing does.
func (s *State) turned(est probe.Estimate) (en view.Entry, words string) {
	en, ok := s.Latest()
	if !ok || s.byHand || s.bench.Guide != nil || est.State == probe.Moving || est.State == probe.Empty || math.Abs(est.End-est.Now) > math.Max(standardBy, nearlyThere*math.Abs(est.End-en.Before.End)) || s.said.Believed(en.Seq) {
		return en, ""
	}
	amount := func() string {
		return view.Amount(en.Drops, en.Volume) + " of " + s.Setup.Stocks[en.Stock].Name
	}
	switch pull := s.pull(en.Stock); {
	case (est.End-en.Before.End)*pull <= -math.Max(turnedBy, order.MovedSDs*math.Hypot(est.SD, en.Before.SD)) && s.hasLed(en, pull):
		return en, "it went against " + amount()
	case math.Abs(est.End-en.Before.End) > strayBy && atStandard(est.Now):
		if to, far := s.strays(en, est.End); far {
			return en, fmt.Sprintf("a standard has this pH, and %.2f was expected after %s", to, amount())
		}
	}
	return en, ""
}

// turns reports whether anything does, and notes it.
func (s *State) turns(v *view.View, est probe.Estimate) bool {
	en, words := s.turned(est)
	if words != "" {
		v.Level, v.Turned = en.Before.End, words
	}
	return words != ""
}

// hasLed reports whether an addition before the latest has led the way its bottle should.
func (s *State) hasLed(en view.Entry, pull float64) bool {
	var last *view.Entry
	for i := range s.entries {
		e := &s.entries[i]
		if e.Undone {
			continue
		}
		if last != nil && last.Stock == en.Stock && (e.Before.End-last.Before.End)*pull > ledBy {
			return true
		}
		last = e
	}
	return false
}

// strays reports where the latest addition was to lead by what was known before it, and
// whether a reading is further from that than strayBy and all that it may have led to.
func (s *State) strays(en view.Entry, ph float64) (to float64, far bool) {
	h := s.history()
	n := len(h.Additions) - 1
	h.Additions = h.Additions[:n]
	h.Observations = slices.DeleteFunc(slices.Clone(h.Observations), func(o coach.Observation) bool { return o.After >= n })
	now := coach.Present{PH: en.Before.End, SD: en.Before.SD, FinalSD: en.Before.SD, Shown: en.Before.Now, Settled: true, Age: en.T}
	to, low, high := s.bench.Landing(coach.Request{History: h, Now: now}, coach.Addition{Stock: en.Stock, Volume: en.Volume, Drops: en.Drops})
	return to, math.Abs(ph-to) > strayBy+math.Abs(high-low)
}

// atStandard reports whether a reading is that of a usual standard: phthalate, phosphate,
// borax or carbonate at room temperature (NIST primary and technical standards).
func atStandard(ph float64) bool {
	for _, of := range [...]float64{4.01, 7.00, 9.18, 10.01} {
		if math.Abs(ph-of) <= standardBy {
			return true
		}
	}
	return false
}

// How far, pH, a reading has to have gone, and to be from where it was to, and how near to a
// standard it has to stand, to be asked about. Choices of this project.
const (
	strayBy     = 0.7
	standardBy  = 0.06
	nearlyThere = 0.1 // of the way, that a reading may have to go still to be called at rest there
)

// ledBy is by how much an earlier addition has led its way to tell what is in its bottle, pH.
const ledBy = 0.05
