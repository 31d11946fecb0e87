package run

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// add closes the composition that was and begins the next. What has moved since
// the last addition with nothing on record belongs to this one: drops fall one
// by one, and are put on record when the person has a hand free.
func (s State) add(e journal.Event) (State, error) {
	if s.ended != nil {
		return s, ErrEnded
	}
	en, err := s.entry(*e.Added)
	if err != nil {
		return s, err
	}
	en.Seq, en.T = e.Seq, e.T
	en.Advised = s.order.is(e.Added)
	told := math.NaN()
	if e.Added.From != nil {
		told = *e.Added.From
	}
	given := s.give(&en, told)
	en.From, en.Before = given.From, given.Before
	if en.Before.State != probe.Empty {
		sober := s.soberOf(&en)
		o := coach.Observation{After: s.inForce(), PH: sober.End, SD: sober.SD}
		s.observed = append(slices.Clip(s.observed), o)
	}
	s.entries = append(slices.Clip(s.entries), en)
	then := s // what is known now is what counts, whenever it is asked for
	s.eye = s.eye.Added(e.T, en.From, func() float64 { return then.expected(&en) }, en.Before.Noise, en.Advised, s.forecast.Aim, s.Setup.Tolerance)
	s.advice, s.order, s.trusted, s.recent, s.reads = nil, order{}, false, nil, 0
	return s, nil
}

// perDrop is how long a drop takes to fall, s, at a slow pace.
const perDrop = 0.7

// mostStep is the step, pH, up to which it is told where an addition is to lead:
// further, the account of the beaker is not worth much.
const mostStep = 3.0

// give tells the tracker of an addition.
func (s *State) give(en *view.Entry, told float64) probe.Given {
	a := probe.Addition{Seq: en.Seq, T: en.T, From: told, Take: perDrop * en.Drops}
	if est := s.sober(s.track.Estimate(en.T)); en.Advised && s.unseen(est, en.T) {
		a.From, a.Before = s.order.t, &s.order.est
	} else if s.order.rinsed { // what is known of before it is what it was ordered on
		a.From, a.Before = s.order.dosed, &s.order.est
	} else if est.State != probe.Empty && !s.track.Moving() && len(s.track.Moves()) == 0 {
		after, low, high := s.landing(est, en)
		a.Step, a.SD = after-est.End, (high-low)/4
		if math.IsNaN(a.Step+a.SD) || math.Abs(a.Step) > mostStep {
			a.Step, a.SD = 0, 1
		}
	}
	var g probe.Given
	s.track, g = s.track.Give(a)
	return g
}

// landing is where an addition is expected to lead from an estimate.
func (s *State) landing(est probe.Estimate, en *view.Entry) (after, low, high float64) {
	return s.bench.Landing(s.request(est), coach.Addition{Stock: en.Stock, Volume: en.Volume, Drops: en.Drops})
}

// expected is where an addition was expected to lead from where it began; NaN
// when nobody knows.
func (s *State) expected(en *view.Entry) float64 {
	if en.Before.State == probe.Empty {
		return math.NaN()
	}
	after, _, _ := s.landing(en.Before, en)
	return after
}

// entry checks an addition against the plan.
func (s *State) entry(a journal.Addition) (view.Entry, error) {
	j := s.stockOf(a.Titrant)
	if j < 0 {
		return view.Entry{}, fmt.Errorf("%w: %q", ErrNoTitrant, a.Titrant)
	}
	en := view.Entry{Stock: j, Drops: a.Drops, Volume: chem.Volume(a.ML) * chem.Millilitre}
	if a.Drops > 0 {
		en.Volume = chem.Volume(a.Drops) * s.Setup.Stocks[j].Drop
	}
	switch {
	case !(en.Volume > 0):
		return view.Entry{}, ErrAmount
	case en.Volume > 100*s.Setup.Final:
		return view.Entry{}, ErrTooMuch
	}
	return en, nil
}

// stockOf is the number of the bottle of a name, −1 when there is none.
func (s *State) stockOf(name string) int {
	return slices.IndexFunc(s.Setup.Stocks, func(st recipe.Stock) bool { return st.Name == name })
}

// undo withdraws the addition that the event names. Whatever is in the beaker
// is what the readings show: what they showed of it is open again, and belongs
// to the next addition that is put on record.
func (s State) undo(e journal.Event) (State, error) {
	i := slices.IndexFunc(s.entries, func(en view.Entry) bool { return en.Seq == e.Undo.Seq && !en.Undone })
	if i < 0 {
		return s, ErrNothing
	}
	pos := s.position(i)
	latest := pos == s.inForce()-1
	s.entries = slices.Clone(s.entries)
	s.entries[i].Undone = true
	// The reading before it and the one after it were of one composition.
	var obs []coach.Observation
	for _, o := range s.observed {
		if o.After > pos {
			o.After--
		} else if o.After == pos && latest {
			continue
		}
		obs = append(obs, o)
	}
	s.observed = obs
	if latest {
		s.track = s.track.Release(e.Undo.Seq)
	}
	s.advice, s.order = nil, order{}
	return s, nil
}

// correct restates the addition that the event names.
func (s State) correct(e journal.Event) (State, error) {
	i := slices.IndexFunc(s.entries, func(en view.Entry) bool { return en.Seq == e.Correct.Seq && !en.Undone })
	if i < 0 {
		return s, ErrNothing
	}
	en, err := s.entry(e.Correct.To)
	if err != nil {
		return s, err
	}
	s.entries = slices.Clone(s.entries)
	old := &s.entries[i]
	old.Stock, old.Drops, old.Volume, old.Changed = en.Stock, en.Drops, en.Volume, true
	s.advice, s.order = nil, order{}
	return s, nil
}
