package run

import (
	"math"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// history is what the coach is told of the past.
func (s *State) history() coach.History {
	h := s.entries.History(s.byHand)
	h.Observations, h.Looked, h.Begun = s.observed, s.said.LookedAt(s.entries), s.said.Begun()
	var before int
	if h.Jump, before = s.said.Jump(s.entries); before > 0 { // what was read before two of them says nothing of now
		h.Observations = slices.DeleteFunc(slices.Clone(h.Observations), func(o coach.Observation) bool { return o.After < before })
	}
	return h
}

// request is what the coach is asked with an estimate of the present reading.
func (s *State) request(est probe.Estimate) coach.Request {
	est = s.sober(est)
	// The first addition rests on labels more than on the reading: a value that stands
	// is enough for it.
	stands := s.track.Stands() && s.entries.Count() == 0
	tau := est.Tau
	if s.entries.Count() == 0 { // it may be that of being put in
		tau = 0
	}
	return coach.Request{
		History: s.history(), Aside: s.aside(), Confirmed: s.said.PassedOver(s.entries), Asked: s.isAsked() && s.advice.Reason == coach.Mistaken.String(),
		Now: coach.Present{PH: est.End, SD: est.SD, FinalSD: est.FinalSD, Shown: est.Now, Settled: est.State == probe.Settled, Typed: s.byHand, Stands: stands, Age: s.age(), Waited: s.entries.Waited(s.begun), GoOn: s.hurries(), Done: s.done != nil && s.done.adds == s.entries.Count(), Drift: est.Drift, Creep: est.Creep, Tau: tau},
	}
}

// age is how long the beaker has not been touched, as far as is known, s: since the latest
// addition was put on record, or since its last drops showed, where that was before.
func (s *State) age() float64 {
	if en, ok := s.Latest(); ok {
		return s.T - math.Min(en.T, s.track.RestedAfter(en.Seq))
	}
	return s.T - s.begun
}

// Closed is the history with a reading of the present composition as its last.
func (s State) Closed(est probe.Estimate) coach.History {
	h := s.history()
	h.Observations = append(slices.Clip(h.Observations), coach.Observation{After: len(h.Additions), PH: est.End, SD: est.SD})
	return h
}
