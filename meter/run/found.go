package run

import (
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// Looks reports whether a run looks for an amount and not for a pH.
func (s State) Looks() bool { return s.bench.Guide != nil }

// Finding is the answer at a time; nil where none is looked for, or nothing can be said.
func (s State) Finding(now float64) *view.Finding { return s.finding(s.estimate(now)) }

func (s *State) finding(est probe.Estimate) *view.Finding {
	g, ok := s.bench.Guide.(*find.Bench)
	if !ok {
		return nil
	}
	est = s.sober(est)
	h := s.history()
	if est.State != probe.Empty && est.State != probe.Moving && est.SD < view.VagueSD && !s.track.Unread() {
		h = s.Closed(est)
	}
	return view.FindingOf(g, s.Setup, h)
}

// FoundSteps are the readings of a run that looks for an amount, each with the answer
// as it was known then.
func (s State) FoundSteps() []view.FoundStep {
	g, ok := s.bench.Guide.(*find.Bench)
	if !ok {
		return nil
	}
	h := s.history()
	if est := s.sober(s.estimate(s.last.t)); s.last.any && est.State != probe.Empty && est.SD < view.VagueSD {
		h = s.Closed(est)
	}
	return view.FoundSteps(g, h)
}
