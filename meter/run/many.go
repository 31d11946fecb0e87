package run

import (
	"fmt"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// mostDrops is how many drops anybody is asked to count in one go, a choice of this project:
// more of them, four minutes at one a second, are a sign of a bottle that is too weak.
const mostDrops = 250

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
	return a.Drops > mostDrops && s.bench.Guide == nil && !s.Setup.Stocks[a.Stock].ByML
}

// counts reports whether a person counts them all the same.
func (s *State) counts() bool { return slices.Contains(s.said.Codes(), coach.ManyDrops.String()) }

// portion is as much of an addition as is counted in one go.
func (s *State) portion(est probe.Estimate, a coach.Advice) coach.Advice {
	a.Drops, a.Volume, a.Reason = mostDrops, mostDrops*s.bench.Stocks[a.Stock].Drop, coach.Far
	a.After, a.Low, a.High = s.bench.Landing(s.request(est), coach.Addition{Stock: a.Stock, Volume: a.Volume, Drops: a.Drops})
	return a
}

// fewDrops are those that a bottle which is strong enough does it in.
const fewDrops = 40

// strengths are those that people make of a titrant, mol/L.
var strengths = [...]float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5}

// stronger is a bottle of the same titrant that does an addition in few drops, or comes
// nearest to that; empty where the bottle is as strong as any.
func (s *State) stronger(a coach.Advice) string {
	st := s.Setup.Stocks[a.Stock]
	best := 0.0
	for _, m := range strengths {
		if m > 1.5*float64(st.Molar) && best < float64(st.Molar)*a.Drops/fewDrops {
			best = m
		}
	}
	if best == 0 {
		return ""
	}
	return fmt.Sprintf("%s %g M", st.Reagent.Name, best)
}
