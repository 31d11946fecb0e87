package run

import (
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// confirm notes that a person has looked at what is being complained about.
func (s State) confirm() State {
	est := s.track.Estimate(s.T)
	if s.Look(s.T).Advice.Reason == coach.Unfit {
		s.cal.looked = append(slices.Clip(s.cal.looked), s.cal.stops(s.fitness(true))...)
		s.advice = nil
		return s
	}
	defer func() { s.advice = nil }()
	if est.State == probe.Empty {
		return s
	}
	var v View
	a := s.advise(&v, est, s.T)
	switch a.Reason {
	case coach.Moved:
		s.track = s.track.Excuse()
		s.eye = s.eye.Broken(s.T)
		s.confirmed = append(slices.Clip(s.confirmed), a.Codes()...)
		return s
	case coach.Stuck:
		s.trusted = true
		return s
	}
	for _, f := range s.spotted(est, s.T, coach.Advice{}) {
		s.confirmed = append(slices.Clip(s.confirmed), f.Code())
	}
	if a.Do == coach.Check {
		s.confirmed = append(slices.Clip(s.confirmed), a.Codes()...)
	}
	return s
}
