package session_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
)

func num(x float64) *float64 { return &x }

// tris is a plan of our own: Tris brought down with acid.
func tris() recipe.Plan {
	return recipe.Plan{
		Name:    "Tris, invented",
		Target:  recipe.Target{PH: num(8.2), Tolerance: num(0.02)},
		Beaker:  recipe.Beaker{StartML: num(160), FinalML: num(200), TempC: num(22)},
		Weighed: []recipe.Weighed{{Reagent: "Tris", MMol: num(20)}},
		Titrants: []recipe.Titrant{
			{Name: "acid", Reagent: "HCl", Molar: num(2), DropUL: num(50)},
			{Name: "weak acid", Reagent: "HCl", Molar: num(0.2), DropUL: num(50)},
			{Name: "base", Reagent: "NaOH", Molar: num(1), DropUL: num(50)},
		},
	}
}

var dawn = time.Date(2031, 5, 4, 6, 0, 0, 0, time.UTC)

func wall(t float64) time.Time { return dawn.Add(time.Duration(t * float64(time.Second))) }

func first(t testing.TB, p recipe.Plan) journal.Event {
	t.Helper()
	plan, err := json.Marshal(p)
	require.NoError(t, err)
	return journal.Event{Seq: 1, At: dawn, Kind: journal.Started,
		Start: &journal.Start{Format: journal.Format, Program: "test", Plan: plan, Operator: "nobody"}}
}
