package run_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
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

// bench is a run on a simulated bench, second by second, recorded in a journal.
type bench struct {
	t    *testing.T
	sim  *sim.Bench
	keep *keep.Keeper
	sec  float64
}

func record(t *testing.T, path string, seed uint64) (*bench, *journal.Writer) {
	t.Helper()
	p := tris()
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := sim.New(setup, sim.DefaultTruth(setup, seed))
	require.NoError(t, err)
	start := first(t, p)
	w, err := journal.Create(path, start)
	require.NoError(t, err)
	t.Cleanup(func() { w.Close() })
	k, err := keep.NewKeeper(start, w, wall)
	require.NoError(t, err)
	return &bench{t: t, sim: b, keep: k}, w
}

// second lets a second pass and gives the view at its end.
func (b *bench) second() view.View {
	b.t.Helper()
	b.sec++
	b.sim.Advance(b.sec)
	require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Read, Reading: run.Recorded(b.sim.Sample())}))
	return b.keep.Look(b.sec)
}

func (b *bench) seconds(n int) (v view.View) {
	for range n {
		v = b.second()
	}
	return v
}

func (b *bench) add(titrant string, drops float64) {
	b.t.Helper()
	a, err := b.keep.State.Addition(titrant, drops, 0)
	require.NoError(b.t, err)
	require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &a}))
	require.NoError(b.t, b.sim.Dispense(titrant, drops, 0))
}

// kept is a log that keeps its events in memory.
type kept struct {
	keep.Discard
	events []journal.Event
}

func (k *kept) Append(e *journal.Event) error {
	if err := k.Discard.Append(e); err != nil {
		return err
	}
	k.events = append(k.events, *e)
	return nil
}
