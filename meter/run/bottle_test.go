package run_test

import (
	"encoding/json"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/typed"
)

// Another bottle at the plate is checked as in a plan, used at once, and still
// there when the run is taken up again.
func TestBottleAtThePlate(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	b, w := record(t, path, 3)
	b.seconds(40)
	for text, says := range map[string]string{
		`{"name":"acid","reagent":"HCl","molar":0.5}`:      "used twice",
		`{"name":"x","reagent":"unobtainium","molar":0.5}`: "unobtainium",
		`{"name":"x","reagent":"HCl","molar":99}`:          "outside",
		`{"name":"x\u001b[2J","reagent":"HCl","molar":1}`:  "character",
		`{"name":"x","reagent":"HCl"}`:                     "missing",
	} {
		assert.ErrorContains(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Bottled, Bottle: json.RawMessage(text)}), says, text)
	}
	assert.Len(t, b.keep.Look(b.sec).Titrants, 3)
	bottle, err := typed.Bottle("HCl 0.02 M, 40 µL")
	require.NoError(t, err)
	e, err := brought.Event(b.sec, bottle)
	require.NoError(t, err)
	require.NoError(t, b.keep.Take(e))
	v := b.second()
	require.Len(t, v.Titrants, 4)
	assert.Equal(t, "HCl 0.02 M", v.Titrants[3])
	a, err := b.keep.State.Addition("HCl 0.02 M", 10, 0)
	require.NoError(t, err)
	assert.InDelta(t, 0.4, a.ML, 1e-9, "its drops are 40 µL")
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &a}))
	require.NoError(t, w.Close())
	r, err := keep.Resume(path, dawn.Add(time.Hour))
	require.NoError(t, err)
	defer r.Writer.Close()
	assert.Equal(t, v.Titrants, r.Keeper.Look(r.Keeper.State.T).Titrants)
}

// The coach uses the bottle that was brought at once: past the aim with acid
// alone nothing leads back, and with a base at hand it does.
func TestCoachUsesTheBottleBrought(t *testing.T) {
	p := tris()
	p.Titrants = p.Titrants[:1]
	b := planned(t, p)
	b.seconds(40)
	b.add("acid", 105)
	v := b.seconds(200) // a way back is not gone before it is sure that it has to be
	require.Equal(t, coach.Check, v.Advice.Do)
	require.Equal(t, coach.NoWayBack, v.Advice.Reason)
	way := "an acid"
	if v.Settling.End < v.Advice.Aim {
		way = "a base"
	}
	require.Contains(t, v.Why(), "only "+way+" leads back")
	e, err := brought.Event(b.sec, recipe.Titrant{Name: "base", Reagent: "NaOH", Molar: num(2)})
	require.NoError(t, err)
	require.NoError(t, b.keep.Take(e))
	v = b.order()
	assert.LessOrEqual(t, b.sec, 40+200+2.0, "at once")
	assert.Equal(t, coach.Past, v.Advice.Reason)
	assert.Equal(t, "base", v.Titrant)
}
