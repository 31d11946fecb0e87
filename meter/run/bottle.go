package run

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
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
	setup, err := withBottle(p)
	if err != nil {
		return s, err
	}
	switch a := s.Look(s.T).Advice; {
	case a.Do != coach.Check:
	case a.Reason == coach.Mistaken:
		s = s.leftAlone(a.Codes(), true)
	case a.Reason == coach.NoPoint, a.Reason == coach.Misfit:
		s.confirmed = append(slices.Clip(s.confirmed), a.Codes()...)
	}
	s.planned.Titrants = append(slices.Clip(s.planned.Titrants), t)
	s.Setup = setup
	if err := s.know(e.Known); err != nil {
		return s, err
	}
	s.advice, s.order = nil, order{}
	s.track = s.track.Await(0)
	err = s.at(s.benchTemp)
	return s, err
}

// withBottle compiles a plan whose last titrant is new. What is wrong is said
// of that bottle.
func withBottle(p recipe.Plan) (*recipe.Setup, error) {
	var gate intake.Faults
	if err := intake.Plan(p); errors.As(err, &gate) {
		return nil, fmt.Errorf("bottle: %s", gate[len(gate)-1].What)
	}
	setup, err := recipe.CompileAmended(p) // the beaker stands at the plate: what is possible shows
	var bad recipe.Problems
	if errors.As(err, &bad) && len(bad) > 0 {
		b := bad[len(bad)-1]
		text := "bottle: " + b.What
		if b.Hint != "" {
			text += " (" + b.Hint + ")"
		}
		return nil, errors.New(text)
	}
	return setup, err
}

// BottleEvent is the event that brings a titrant to the plate.
func BottleEvent(t float64, b recipe.Titrant) (journal.Event, error) {
	payload, err := json.Marshal(b)
	return journal.Event{T: t, Kind: journal.Bottled, Bottle: payload}, err
}
