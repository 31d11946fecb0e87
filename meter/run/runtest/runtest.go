// Package runtest has a run for the tests of meter/run and its rooms: a plan of our own, its
// first event, and a clock.
package runtest

import (
	"encoding/json"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
)

// Num is a number that a plan may leave out.
func Num(x float64) *float64 { return &x }

// Tris is a plan of our own: Tris brought down with acid.
func Tris() recipe.Plan {
	return recipe.Plan{
		Name:    "Tris, invented",
		Target:  recipe.Target{PH: Num(8.2), Tolerance: Num(0.02)},
		Beaker:  recipe.Beaker{StartML: Num(160), FinalML: Num(200), TempC: Num(22)},
		Weighed: []recipe.Weighed{{Reagent: "Tris", MMol: Num(20)}},
		Titrants: []recipe.Titrant{
			{Name: "acid", Reagent: "HCl", Molar: Num(2), DropUL: Num(50)},
			{Name: "weak acid", Reagent: "HCl", Molar: Num(0.2), DropUL: Num(50)},
			{Name: "base", Reagent: "NaOH", Molar: Num(1), DropUL: Num(50)},
		},
	}
}

// Dawn is when the run begins.
var Dawn = time.Date(2031, 5, 4, 6, 0, 0, 0, time.UTC)

// Wall is the time on the wall t seconds after that.
func Wall(t float64) time.Time { return Dawn.Add(time.Duration(t * float64(time.Second))) }

// First is the event that begins the run of a plan.
func First(p recipe.Plan) journal.Event {
	plan, err := json.Marshal(p)
	if err != nil {
		panic(err) // a plan is numbers and words
	}
	return journal.Event{Seq: 1, At: Dawn, Kind: journal.Started,
		Start: &journal.Start{Format: journal.Format, Program: "test", Plan: plan, Operator: "nobody"}}
}

// Log is a log that keeps its events in memory.
type Log struct{ Events []journal.Event }

// Append numbers an event and keeps it.
func (l *Log) Append(e *journal.Event) error {
	e.Seq = int64(len(l.Events)) + 1
	l.Events = append(l.Events, *e)
	return nil
}
