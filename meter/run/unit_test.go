package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// What is given in mL is ordered, recorded and asked about in mL, to the step
// that its pipette is read to, and a run of it comes to its end.
func TestGivenInMillilitres(t *testing.T) {
	p := tris()
	for i := range p.Titrants {
		p.Titrants[i].DropUL, p.Titrants[i].By = nil, "pipette"
	}
	p.Titrants[0].StepML = num(0.1)
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	s, err := sim.New(setup, sim.DefaultTruth(setup, 5))
	require.NoError(t, err)
	log := &kept{}
	log.Append(&journal.Event{})
	k, err := keep.NewKeeper(first(p), log, wall)
	require.NoError(t, err)
	b := &bench{t: t, sim: s, keep: k}
	var v view.View
	asked := false
	for range 1200 {
		if v = b.second(); v.Advice.Do == coach.Stop {
			break
		}
		if v.Advice.Do != coach.Add {
			continue
		}
		require.Zero(t, v.Advice.Drops)
		ml := v.Advice.Volume.Millilitres()
		assert.Contains(t, v.Sentence(), " mL of "+v.Titrant)
		assert.NotContains(t, v.Sentence(), "drop")
		if v.Titrant == "acid" {
			assert.InDelta(t, 0, ml*10-float64(int(ml*10+0.5)), 1e-6, "steps of 0.1 mL: %g", ml)
		}
		require.NoError(t, s.Dispense(v.Titrant, 0, chem.Volume(ml)*chem.Millilitre))
		if !asked { // the first one is forgotten for a while
			for v.Advice.Reason != coach.Unsaid {
				v = b.second()
				require.Less(t, b.sec, 400.0, v.Sentence())
			}
			assert.Contains(t, v.Sentence(), " mL of ")
			assert.InDelta(t, ml, v.Advice.Volume.Millilitres(), 1e-9, "it is the order")
			asked = true
		}
		a, err := k.State.Addition(v.Titrant, 0, ml)
		require.NoError(t, err)
		require.NoError(t, k.Take(propose.Dated(k.State, journal.Event{T: b.sec, Kind: journal.Added, Added: &a})))
	}
	require.Equal(t, coach.Stop, v.Advice.Do, v.Sentence())
	assert.InDelta(t, setup.Target, s.MadeUp(), setup.Tolerance+0.005)
	for _, e := range log.events {
		if e.Kind == journal.Added {
			assert.Zero(t, e.Added.Drops)
			assert.Positive(t, e.Added.ML)
		}
		if e.Kind == journal.Advised && e.Advice.Do == "add" {
			assert.Zero(t, e.Advice.Drops)
			assert.Positive(t, e.Advice.ML)
		}
	}
	for _, e := range v.Entries {
		assert.True(t, e.Advised, "recorded as ordered")
	}
}

// An order that no hand counts is asked about, with the bottle that would do: 17 mL by drops
// of 25 µL are a quarter of an hour. A pipette gives it in one go, and asks nothing.
func TestMoreDropsThanAnybodyCounts(t *testing.T) {
	for _, c := range []struct {
		molar, drop float64
		by          string
		asks        string
	}{
		{0.36, 25, "", "such as sodium hydroxide 5 M"},
		{0.18, 50, "", "such as sodium hydroxide 2 M"},
		{1, 9, "", "such as sodium hydroxide 5 M"},
		{0.4, 0, "pipette", ""},
		{1.1, 25, "", ""},
	} {
		p := phosphate()
		p.Titrants = []recipe.Titrant{{Name: "base", Reagent: "NaOH", Molar: num(c.molar), By: c.by}}
		if c.by == "" {
			p.Titrants[0].DropUL = num(c.drop)
		} else {
			p.Titrants[0].StepML = num(0.01)
		}
		b := newStand(t, p, nil)
		b.hands = func(*stand, int, view.View) bool { return true }
		var v view.View
		for range 60 {
			if v = b.second(); v.Advice.Do != coach.Wait {
				break
			}
		}
		if c.asks == "" {
			assert.Equal(t, coach.Add, v.Advice.Do, "%+v: %s", c, v.Sentence())
			continue
		}
		require.Equal(t, coach.ManyDrops, v.Advice.Reason, "%+v: %s", c, v.Sentence())
		assert.Greater(t, v.Advice.Drops, 250.0)
		assert.Contains(t, v.Why(), c.asks)
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Confirmed}))
		v = b.keep.Look(b.sec)
		assert.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
		assert.Equal(t, 250.0, v.Advice.Drops, "in portions")
	}
}

// An order in drops that is put on record in the mL which the screen says beside them was
// counted all the same: it tells of the dropper, and is no exact volume.
func TestDropsThatAreSaidInML(t *testing.T) {
	p, was := ordered(t, nil)
	a, err := p.keep.State.Addition(was.Titrant, 0, was.Advice.Volume.Millilitres())
	require.NoError(t, err)
	require.NoError(t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Added, Added: &a}))
	en, ok := p.keep.State.Latest()
	require.True(t, ok)
	assert.Equal(t, was.Advice.Drops, en.Drops)
	assert.True(t, en.Advised)
}
