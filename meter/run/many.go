package run

import (
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/given"
)

// countable asks before an addition that no hand counts, from a dropper: a stronger bottle
// serves better. Whoever goes on all the same gives it in portions.
func (s *State) countable(est probe.Estimate, a coach.Advice) coach.Advice {
	switch {
	case a.Do != coach.Add || !s.uncountable(a):
		return a
	case !s.counts():
		a.Do, a.Reason = coach.Check, coach.ManyDrops
		return a
	}
	return s.portion(est, a)
}

// uncountable reports whether no hand counts the drops of an addition.
func (s *State) uncountable(a coach.Advice) bool {
	return s.bench.Guide == nil && given.Uncountable(s.Setup, a)
}

// counts reports whether a person counts them all the same.
func (s *State) counts() bool { return slices.Contains(s.said.Codes(), coach.ManyDrops.String()) }

// portion is as much of an addition as is counted in one go.
func (s *State) portion(est probe.Estimate, a coach.Advice) coach.Advice {
	a.Drops, a.Volume, a.Reason = given.MostDrops, given.MostDrops*s.bench.Stocks[a.Stock].Drop, coach.Far
	a.After, a.Low, a.High = s.bench.Landing(s.request(est), coach.Addition{Stock: a.Stock, Volume: a.Volume, Drops: a.Drops})
	return a
}
