package run

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

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

// ParseBottle reads what a person types of a bottle: reagent and strength, as
// "NaOH 0.1 M", and after commas the size of its drop, its name, the day it was opened
// and its dropper, as "KOH 0.5 M, 40 µL, bottle B7, opened 2026-11-20, dropper blue".
func ParseBottle(text string) (recipe.Titrant, error) {
	parts := strings.Split(text, ",")
	for len(parts) > 1 && strings.IndexAny(parts[1], "0123456789") == 0 { // a decimal comma
		parts = append([]string{parts[0] + "," + parts[1]}, parts[2:]...)
	}
	f := strings.Fields(parts[0])
	if n := len(f); n > 0 && (f[n-1] == "M" || f[n-1] == "mol/L") {
		f = f[:n-1]
	}
	n := len(f) - 1
	if n < 1 {
		return recipe.Titrant{}, errNoBottle
	}
	molar, err := number(strings.TrimSuffix(f[n], "M"))
	if err != nil {
		return recipe.Titrant{}, errNoBottle
	}
	t := recipe.Titrant{Reagent: strings.Join(f[:n], " "), Molar: &molar}
	t.Name = fmt.Sprintf("%s %g M", t.Reagent, molar)
	for _, p := range parts[1:] {
		if !detail(&t, strings.TrimSpace(p)) {
			return recipe.Titrant{}, errNoBottle
		}
	}
	return t, nil
}

// detail takes what is said of a bottle after a comma.
func detail(t *recipe.Titrant, text string) bool {
	word, rest, _ := strings.Cut(text, " ")
	rest = strings.TrimSpace(rest)
	switch {
	case word == "bottle" && rest != "":
		t.Bottle = rest
	case word == "dropper" && rest != "":
		t.Dropper = rest
	case word == "opened" && rest != "":
		t.Opened = rest
	default:
		for _, unit := range []string{"µL", "μL", "uL", "ul"} {
			text = strings.TrimSuffix(text, unit)
		}
		ul, err := number(strings.TrimSpace(text))
		if err != nil {
			return false
		}
		t.DropUL = &ul
	}
	return true
}

var errNoBottle = errors.New("give reagent and strength: NaOH 0.1 M; or KOH 0.5 M, 40 µL, bottle B7 for drops of 40 µL and a bottle of that name")

func number(text string) (float64, error) {
	return strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
}

// BottleEvent is the event that brings a titrant to the plate.
func BottleEvent(t float64, b recipe.Titrant) (journal.Event, error) {
	payload, err := json.Marshal(b)
	return journal.Event{T: t, Kind: journal.Bottled, Bottle: payload}, err
}
