package run

import (
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/elsewhere"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// confirm notes that a person has looked at what is being complained about, and that
// it is as planned.
func (s State) confirm() State {
	est := s.estimate(s.T)
	if s.Look(s.T).Advice.Reason == coach.Unfit {
		s.line.PassOver(s.fitness(true))
		s.advice = nil
		return s
	}
	if est.State == probe.Empty {
		s.advice = nil
		return s
	}
	var v view.View
	a := s.advise(&v, est, s.T)
	faulty, asked := false, ""
	if s.advice != nil {
		faulty, asked = s.advice.Reason == coach.Faulty.String(), s.advice.Fault
	}
	s.advice = nil
	switch a.Reason {
	case coach.Moved:
		return s.wentBy(a)
	case coach.Stuck:
		s.trusted = true
		return s
	}
	list := s.spotted(est, s.T, coach.Advice{})
	if f, ok := spot.Named(asked); ok && !slices.ContainsFunc(list, func(g spot.Finding) bool { return g.Fault == f.Fault }) {
		list = append(list, f) // what was asked is answered, also where the latest reading does not ask it
	}
	for _, f := range list {
		s.said = s.said.Agree(f.Code())
		if s.entries.Count() == 0 && slices.Contains(elsewhere.Codes, f.Code()) { // by another name it is not asked again
			s.said = s.said.Agree(elsewhere.Codes...).Begins()
		}
		if f.Bad {
			s.said = s.said.LookedFor(answers.Alias(f, s.Setup), s.entries)
		}
	}
	switch {
	case a.Do != coach.Check:
	case faulty && (a.Reason != coach.Mistaken || slices.Contains(elsewhere.Codes, asked)): // nobody has seen that yet
	case a.Reason == coach.Mistaken:
		s.said = s.said.Agree(a.Codes()...). // for the eye
							Known(a.Codes()...).LookedFor(a.Codes(), s.entries)
		return s
	case a.Reason == coach.DropTooBig:
		return s.agreedToDrop(est)
	case a.Reason == coach.NoTitrant && len(s.aside()) > 0: // it is there after all
		s.refusals = order.Refusals{}
	default:
		s.said = s.said.Agree(a.Codes()...)
	}
	return s
}

// wentBy takes a reading that went elsewhere by itself for that of the beaker: from
// here on what the earlier ones have shown of its charge does not count.
func (s State) wentBy(a coach.Advice) State {
	s.track, s.wentAt = s.track.Excuse(), s.T
	s.eye = s.eye.Broken(s.T)
	s.said = s.said.Agree(a.Codes()...)
	if en, ok := s.Latest(); ok {
		s.said = s.said.WentBy(en.Seq)
	}
	return s
}

// agreedToDrop notes that a person agrees to what one drop may do. A greater chance is
// taken first; where nothing may be given then either, what lands nearest.
func (s State) agreedToDrop(est probe.Estimate) State {
	for range 2 {
		s.said = s.said.Agree(coach.DropTooBig.String())
		if a := s.bench.Advise(s.request(est)); a.Reason != coach.DropTooBig && !a.Asking {
			break
		}
	}
	return s
}

// instead is the addition that would be given when a person agrees to a drop that is
// too large; Do is Check when none would bring the reading nearer.
func (s *State) instead(est probe.Estimate) coach.Advice {
	next := s.agreedToDrop(est)
	return given.InItsUnit(s.Setup, next.bench.Advise(next.request(est)))
}

// lookAtCheck works out what an answer to the CHECK in sight would lead to, where
// that is to be said before.
func (s *State) lookAtCheck(v *view.View, est probe.Estimate) {
	if v.Advice.Do != coach.Check {
		return
	}
	switch v.Advice.Reason {
	case coach.NoRoom:
		v.Mark = s.roomier(est)
	case coach.NoTitrant:
		if len(s.aside()) > 0 {
			v.Aside = s.refusals.Titrant()
		}
	case coach.ManyDrops:
		v.Stronger = given.Stronger(s.Setup, v.Advice)
	case coach.DropTooBig:
		if a := s.instead(est); a.Do == coach.Add {
			v.Instead = &view.Instead{Drops: a.Drops, Volume: a.Volume, Titrant: s.Setup.Stocks[a.Stock].Name, After: a.After, Chance: a.Chance}
		}
	}
}
