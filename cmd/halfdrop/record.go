package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
)

// loadPlan reads a plan file and checks that it can be carried out.
func loadPlan(path string) (recipe.Plan, error) {
	data, err := planText(path)
	if err != nil {
		return recipe.Plan{}, err
	}
	p, err := decodePlan(path, data)
	if err != nil {
		return p, err
	}
	return p, checkPlanAt(path, p, planPlaces(data))
}

// checkPlan turns the problems of a plan into errors with hints.
func checkPlan(name string, p recipe.Plan) error { return checkPlanAt(name, p, nil) }

// checkPlanAt is checkPlan with the places of the keys, where they are known.
func checkPlanAt(name string, p recipe.Plan, places map[string]intake.Place) error {
	_, err := recipe.Compile(p)
	return planFaults(name, err, places)
}

// advisable refuses a plan on which nothing is to be advised.
func advisable(name string, p recipe.Plan) error {
	s, err := recipe.Compile(p)
	if err == nil {
		err = s.Advisable()
	}
	return planFaults(name, err, nil)
}

// planFaults are the problems of a plan as errors with hints, with their places
// where these are known.
func planFaults(name string, err error, places map[string]intake.Place) error {
	var bad recipe.Problems
	if errors.As(err, &bad) {
		var lines []error
		for _, b := range bad {
			where := name
			if places != nil {
				at := intake.Nearest(places, b.Field)
				where = fmt.Sprintf("%s:%d:%d", name, at.Line, at.Column)
			}
			if b.Field != "" {
				where += ": " + b.Field
			}
			lines = append(lines, fmt.Errorf("%s: %s", where, b.What))
		}
		return withHint(errors.Join(lines...), bad.Hints()...)
	}
	return err
}

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
