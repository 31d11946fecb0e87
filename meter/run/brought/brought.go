// Package brought is a bottle that is brought to the plate in the middle of a run: its event,
// the plan with it, and what earlier runs have shown of it; pure.
package brought

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
)

// Event is the event that brings a titrant to the plate.
func Event(t float64, b recipe.Titrant) (journal.Event, error) {
	payload, err := json.Marshal(b)
	return journal.Event{T: t, Kind: journal.Bottled, Bottle: payload}, err
}

// Named is a bottle under a name that none of a plan has: a fresh one of the same label has
// its own name or a number behind.
func Named(b recipe.Titrant, stocks []recipe.Stock) recipe.Titrant {
	taken := func(name string) bool {
		return slices.ContainsFunc(stocks, func(s recipe.Stock) bool { return s.Name == name })
	}
	label := b.Name
	if taken(b.Name) && b.Bottle != "" {
		b.Name = label + ", " + b.Bottle
	}
	for n := 2; taken(b.Name); n++ {
		b.Name = fmt.Sprintf("%s (%d)", label, n)
	}
	return b
}

// Compile compiles a plan whose last titrant is new. What is wrong is said
// of that bottle.
func Compile(p recipe.Plan) (*recipe.Setup, error) {
	var gate intake.Faults
	if err := intake.Plan(p); errors.As(err, &gate) {
		return nil, fmt.Errorf("bottle: %s", gate[len(gate)-1].What)
	}
	setup, err := recipe.CompileAmended(p) // the beaker stands at the plate: what is possible shows
	var bad recipe.Problems
	if errors.As(err, &bad) && len(bad) > 0 {
		b := bad[len(bad)-1]
		text := "bottle: " + b.What
		if _, key, ok := strings.Cut(b.Field, "."); ok && b.What == "missing" {
			text = "bottle: " + key + " is missing"
		}
		if b.Hint != "" && !strings.Contains(text, b.Hint) {
			text += " (" + b.Hint + ")"
		}
		return nil, errors.New(text)
	}
	return setup, err
}

// Recall is what earlier runs have shown of the bottles of a setup, now.
type Recall func(*recipe.Setup) bench.Taken

// WithKnown is the event that brings the last bottle of a setup, with what is known of that
// bottle from earlier runs, and that in words; the event alone where nothing is.
func WithKnown(e journal.Event, setup *recipe.Setup, recall Recall) (journal.Event, []string) {
	all := recall(setup)
	st := setup.Stocks[len(setup.Stocks)-1]
	t := bench.Taken{Notes: all.Notes}
	for _, x := range all.Stocks {
		if x.Titrant == st.Name {
			t.Stocks = append(t.Stocks, x)
		}
	}
	if len(t.Stocks) == 0 {
		return e, nil
	}
	known, err := json.Marshal(t)
	if err != nil {
		return e, nil
	}
	e.Known = known
	return e, t.Words()
}

// Taken reads what an event takes over from earlier runs.
func Taken(known json.RawMessage) (t bench.Taken, err error) {
	if err = json.Unmarshal(known, &t); err == nil {
		err = t.Valid()
	}
	return t, err
}

// And is what was taken over, nil for nothing, with what an event says of a bottle.
func And(old *bench.Taken, known json.RawMessage) (*bench.Taken, error) {
	if len(known) == 0 {
		return old, nil
	}
	t, err := Taken(known)
	if err != nil {
		return nil, fmt.Errorf("what is known of the bottle: %w", err)
	}
	all := bench.Taken{}
	if old != nil {
		all = *old
	}
	all.Stocks = append(slices.Clip(all.Stocks), t.Stocks...)
	return &all, nil
}
