package main

import (
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// startEvent is the first event of a run.
func startEvent(p recipe.Plan, at time.Time, source, operator string) (journal.Event, error) {
	return run.Begin(p, at, run.Origin{Program: "halfdrop " + version(), Source: source, Operator: operator})
}
