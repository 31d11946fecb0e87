package run_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

var num, tris, dawn, wall, first = runtest.Num, runtest.Tris, runtest.Dawn, runtest.Wall, runtest.First

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
	start := first(p)
	w, err := journal.Create(path, start)
	require.NoError(t, err)
	t.Cleanup(func() { w.Close() })
	k, err := keep.NewKeeper(start, w, wall)
	require.NoError(t, err)
	return &bench{t: t, sim: b, keep: k}, w
}

// planned is a run of a plan on a sound bench, kept nowhere.
func planned(t *testing.T, p recipe.Plan) *bench {
	t.Helper()
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := sim.New(setup, sim.DefaultTruth(setup, 5))
	require.NoError(t, err)
	k, err := keep.NewKeeper(first(p), &keep.Discard{}, wall)
	require.NoError(t, err)
	return &bench{t: t, sim: b, keep: k}
}

// second lets a second pass and gives the view at its end.
func (b *bench) second() view.View {
	b.t.Helper()
	b.sec++
	b.sim.Advance(b.sec)
	require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Read, Reading: recorded.Reading(b.sim.Sample())}))
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
