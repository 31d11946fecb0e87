package main

import (
	"encoding/json"
	"fmt"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
)

// startEvent is the first event of a run.
func startEvent(p recipe.Plan, at time.Time, source, operator string) (journal.Event, error) {
	plan, err := json.Marshal(p)
	if err != nil {
		return journal.Event{}, fmt.Errorf("plan: %w", err)
	}
	return journal.Event{
		Seq: 1, At: at, Kind: journal.Started,
		Start: &journal.Start{Format: journal.Format, Program: "halfdrop " + version(), Plan: plan, Operator: operator, Source: source},
	}, nil
}

// createJournal opens a new journal with its first event.
func createJournal(path string, first *journal.Event) (*journal.Writer, error) {
	w, err := journal.Create(path, *first, journal.WithClock(time.Now))
	if err != nil {
		return nil, withHint(err, "name a file that does not exist yet with --journal FILE")
	}
	return w, nil
}
