package run

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/probe/sift"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/elsewhere"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/scene"
	"example.org/halfdrop/meter/run/still"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// amend takes what turned out to be otherwise than planned. From here on everything
// is worked out with the plan as amended: belief, aim, record and label.
func (s State) amend(e journal.Event) (State, error) {
	if s.ended != nil {
		return s, ErrEnded
	}
	a := *e.Amend
	said, err := s.said.Amend(a)
	if err != nil {
		return s, err
	}
	s.said = said
	if !a.Back && a.Code == view.AtFirst { // it is the beaker that was read: which salt, the coach asks
		s.said, s.advice, s.order = s.said.Agree(elsewhere.Codes...), nil, order.Standing{}
		s.track = s.track.Await(0)
		return s, nil
	}
	if !a.Back && answers.Misread(a.Code) {
		s.said = s.said.LeftAlone(s.suspected(), s.entries, true)
		return s.unread(a.Code, e.T), nil
	}
	setup, err := s.said.Plan(s.planned, s.Setup)
	if err != nil {
		return s, err
	}
	s.Setup = setup
	if err := s.at(s.benchTemp); err != nil {
		return s, err
	}
	s.said = s.said.Known(a.Code).Asked(a)
	s.advice, s.order = nil, order.Standing{}
	s.track = s.track.Await(0)
	s.foretold = scene.Foretell(s.bench)
	return s, nil
}

// unread takes the word of a person that the readings were none of the beaker, and
// are so from now on.
func (s State) unread(code string, t float64) State {
	s.order, s.advice, s.trusted = order.Standing{}, nil, false
	s.still, s.sieve = still.Repeats{}, sift.Sieve{}
	if !answers.Forgets(code) {
		s.track, s.eye = s.track.Await(0).Immerse(t), s.eye.Placed(t)
		return s
	}
	s.observed = nil
	if code == recipe.Absent { // the electrode is well
		s.track, s.eye = s.track.Await(0).Immerse(t), spot.Open(t)
		return s
	}
	s.track, s.eye = probe.Track(probe.Unknown()).Immerse(t), spot.Open(t)
	if s.entries.Count() > 0 {
		s.eye = s.eye.Broken(t) // where the plan begins says nothing of now
	}
	return s
}

// Amendments are what of the plan turned out to be otherwise, in force.
func (s State) Amendments() []journal.Amendment { return s.said.Amended() }

// Unamending is the event that withdraws the amendment of a code, the latest for an
// empty one, and what it does in words.
func (s State) Unamending(t float64, code string) (e journal.Event, says string, err error) {
	return s.said.Unamending(t, code)
}

// Planned is the plan as the person meant it, with the bottles brought since.
func (s State) Planned() recipe.Plan { return s.planned }

// roomier is a mark, mL, under which there is room for what is still needed, as it is
// believed; 0 when no mark that could be meant is enough.
func (s *State) roomier(est probe.Estimate) float64 {
	in := s.Setup.Start
	h := s.history()
	for _, a := range h.Additions {
		in += a.Volume
	}
	least := math.Inf(1)
	for j, st := range s.Setup.Stocks {
		if n := s.bench.DropsBetween(h, j, chem.PH(est.End), chem.PH(s.forecast.Aim)); n > 0 {
			least = math.Min(least, n*st.Drop.Millilitres())
		}
	}
	return answers.MarkOf(s.planned, s.Setup).Roomier(in, least)
}
