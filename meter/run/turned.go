package run

import (
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/elsewhere"
	"example.org/halfdrop/meter/run/view"
)

// turns reports whether anything speaks against the reading after the latest addition, and
// notes it.
func (s *State) turns(v *view.View, est probe.Estimate) bool {
	en, ok := s.Latest()
	if !ok || s.byHand || s.bench.Guide != nil || s.said.Believed(en.Seq) {
		return false
	}
	a := elsewhere.After{Given: s.entries, Latest: en, Pull: s.pull(en.Stock), Est: est,
		Amount: func() string { return view.Amount(en.Drops, en.Volume) + " of " + s.Setup.Stocks[en.Stock].Name },
		Leads:  func() (to, low, high float64) { return s.wasToLead(en) }}
	words := a.Against()
	if words != "" && elsewhere.FromAnother(s.bench.Believe(s.history().With(chem.PH(est.End), est.SD))) {
		return false // the coach asks about that bottle by name
	}
	if words != "" {
		v.Level, v.Turned = en.Before.End, words
	}
	return words != ""
}

// wasToLead is where the latest addition was to lead by what was known before it.
func (s *State) wasToLead(en view.Entry) (to, low, high float64) {
	h := s.history()
	n := len(h.Additions) - 1
	h.Additions = h.Additions[:n]
	h.Observations = slices.DeleteFunc(slices.Clone(h.Observations), func(o coach.Observation) bool { return o.After >= n })
	now := coach.Present{PH: en.Before.End, SD: en.Before.SD, FinalSD: en.Before.SD, Shown: en.Before.Now, Settled: true, Age: en.T}
	return s.bench.Landing(coach.Request{History: h, Now: now}, coach.Addition{Stock: en.Stock, Volume: en.Volume, Drops: en.Drops})
}
