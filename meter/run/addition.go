package run

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// add closes the composition that was and begins the next. What has moved since
// the last addition with nothing on record belongs to this one: drops fall one
// by one, and are put on record when the person has a hand free.
func (s State) add(e journal.Event) (State, error) {
	if s.ended != nil {
		return s, ErrEnded
	}
	en, err := given.Entry(s.Setup, *e.Added)
	if err != nil {
		return s, err
	}
	en.Seq, en.T = e.Seq, e.T
	if en.Advised = s.order.Is(e.Added); en.Advised && en.Drops == 0 && !s.order.ByML { // it was counted, and said in mL
		en.Drops, en.Volume = s.order.Advice.Drops, chem.Volume(s.order.Advice.Drops)*s.Setup.Stocks[en.Stock].Drop
	}
	told := math.NaN()
	if e.Added.From != nil {
		told = *e.Added.From
	}
	given := s.give(&en, told)
	en.From, en.Before = given.From, given.Before
	if en.Before.State != probe.Empty {
		sober := s.soberOf(&en)
		o := coach.Observation{After: s.entries.Count(), PH: sober.End, SD: sober.SD}
		s.observed = append(slices.Clip(s.observed), o)
	}
	s.entries = s.entries.Add(en)
	then := s // what is known now is what counts, whenever it is asked for
	s.eye = s.eye.Added(spot.Addition{T: e.T, From: en.From, Expected: func() float64 { return then.expected(&en) },
		Noise: en.Before.Noise, Advised: en.Advised, Aim: s.forecast.Aim, Tolerance: s.Setup.Tolerance})
	s.advice, s.order, s.trusted, s.recent, s.reads = nil, order.Standing{}, false, nil, 0
	if slices.Contains(s.aside(), en.Stock) || e.Added.Titrant == s.refusals.Titrant() {
		s.refusals = order.Refusals{}
	}
	return s, nil
}

// mostStep is the step, pH, up to which it is told where an addition is to lead:
// further, the account of the beaker is not worth much.
const mostStep = 3.0

// give tells the tracker of an addition.
func (s *State) give(en *view.Entry, told float64) probe.Given {
	a := probe.Addition{Seq: en.Seq, T: en.T, From: told, Take: order.PerDrop * en.Drops}
	if en.Advised {
		a.Ordered = s.order.T - order.ShowsFrom
	}
	if est := s.sober(s.estimate(en.T)); en.Advised && s.order.Unseen(s.beaker(est, en.T)) {
		a.From, a.Before = s.order.T, &s.order.Est
	} else if s.order.Left {
		a.From, a.Before = s.order.T, &s.order.Est
	} else if s.order.Rinsed { // what is known of before it is what it was ordered on
		a.From, a.Before = s.order.Dosed, &s.order.Est
	} else if from, ok := s.origin(est); ok {
		after, low, high := s.landing(from, en)
		a.Step, a.SD = after-from.End, (high-low)/4
		if math.IsNaN(a.Step+a.SD) || math.Abs(a.Step) > mostStep {
			a.Step, a.SD = 0, 1
		}
	}
	var g probe.Given
	if a.Before != nil {
		before := s.shift.There(*a.Before)
		a.Before = &before
	}
	s.track, g = s.track.Give(a)
	g.Before = s.shift.Here(g.Before)
	s.shift.Given()
	return g
}

// origin is the estimate of a beaker to which nothing of an addition shows yet, or of
// what it was before somebody said that its first drop falls.
func (s *State) origin(now probe.Estimate) (probe.Estimate, bool) {
	moves := s.moves()
	if n := len(moves); n > 0 {
		return moves[n-1].Before, moves[n-1].Told
	}
	return now, now.State != probe.Empty && !s.track.Moving()
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
	after, _, _ := s.landing(s.shift.Since(en.Before), en)
	return after
}

// undo withdraws the addition that the event names. Whatever is in the beaker
// is what the readings show: what they showed of it is open again, and belongs
// to the next addition that is put on record.
func (s State) undo(e journal.Event) (State, error) {
	i := s.entries.Find(e.Undo.Seq)
	if i < 0 {
		return s, ErrNothing
	}
	pos := s.entries.Position(i)
	latest := pos == s.entries.Count()-1
	s.entries = s.entries.Withdrawn(i)
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
	s.advice, s.order = nil, order.Standing{}
	return s, nil
}

// correct restates the addition that the event names.
func (s State) correct(e journal.Event) (State, error) {
	i := s.entries.Find(e.Correct.Seq)
	if i < 0 {
		return s, ErrNothing
	}
	en, err := given.Entry(s.Setup, e.Correct.To)
	if err != nil {
		return s, err
	}
	s.entries = s.entries.Restated(i, en)
	s.advice, s.order = nil, order.Standing{}
	return s, nil
}
