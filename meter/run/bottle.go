package run

import (
	"encoding/json"
	"fmt"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/order"
)

// bottled takes another titrant into the run, checked as in a plan.
func (s State) bottled(e journal.Event) (State, error) {
	var t recipe.Titrant
	if err := json.Unmarshal(e.Bottle, &t); err != nil {
		return s, fmt.Errorf("bottle: %w", err)
	}
	if s.ended != nil {
		return s, ErrEnded
	}
	p := s.Setup.Plan
	p.Titrants = append(slices.Clip(p.Titrants), t)
	setup, err := brought.Compile(p)
	if err != nil {
		return s, err
	}
	switch a := s.Look(s.T).Advice; {
	case a.Do != coach.Check:
	case a.Reason == coach.Mistaken:
		s.said = s.said.LeftAlone(a.Codes(), s.entries, true)
	case a.Reason == coach.NoPoint, a.Reason == coach.Misfit, a.Reason == coach.ManyDrops:
		s.said = s.said.Agree(a.Codes()...)
	}
	s.planned.Titrants = append(slices.Clip(s.planned.Titrants), t)
	s.Setup = setup
	if s.taken, err = brought.And(s.taken, e.Known); err != nil {
		return s, err
	}
	s.advice, s.order, s.refusals = nil, order.Standing{}, order.Replaced(setup.Stocks)
	s.track = s.track.Await(0)
	err = s.at(s.benchTemp)
	return s, err
}
