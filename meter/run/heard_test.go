package run_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/view"
)

// yesterday is a buffer that was begun by somebody else: it stands far above where the plan
// has it start.
func yesterday() recipe.Plan {
	num := runtest.Num
	return recipe.Plan{
		Name:    "phosphate, invented",
		Target:  recipe.Target{PH: num(6.71), Tolerance: num(0.02), UseTempC: num(25)},
		Beaker:  recipe.Beaker{StartML: num(212.5), FinalML: num(250), TempC: num(19.8)},
		Weighed: []recipe.Weighed{{Reagent: "sodium dihydrogen phosphate", MMol: num(12.5)}},
		Titrants: []recipe.Titrant{
			{Name: "NaOH 0.5 M", Reagent: "NaOH", Molar: num(0.5), By: "pipette", StepML: num(0.1)},
			{Name: "NaOH 0.05 M", Reagent: "NaOH", Molar: num(0.05), DropUL: num(50)},
			{Name: "HCl 0.05 M", Reagent: "HCl", Molar: num(0.05), DropUL: num(50)},
		},
	}
}

// What a person has answered is not asked again because the reading at which it was answered
// did not ask it: a CHECK of a first reading comes and goes with a digit of the display. It
// was asked up to four times.
func TestAnAnswerIsToWhatWasAsked(t *testing.T) {
	asked := 0
	for seed := uint64(1); seed <= 12; seed++ {
		k, err := keep.NewKeeper(first(yesterday()), &keep.Discard{}, wall)
		require.NoError(t, err)
		r, times := rand.New(rand.NewPCG(seed, 9)), map[string]int{}
		var waits int
		var v view.View
		for sec := 1.0; sec < 240 && v.Advice.Do != coach.Add; sec++ {
			y := 6.63 + 0.27*math.Exp(-sec/4) + 0.03*math.Exp(-sec/60) + 0.003*r.NormFloat64()
			y = math.Round(100*y) / 100
			require.NoError(t, k.Take(journal.Event{T: sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}}))
			if v = k.Look(sec); v.Advice.Do != coach.Check {
				continue
			}
			if waits++; waits < 8 { // it takes a while to look
				continue
			}
			waits = 0
			for _, c := range v.Codes() {
				times[c]++
			}
			require.NoError(t, k.Take(journal.Event{T: sec, Kind: journal.Confirmed}))
		}
		for c, n := range times {
			asked++
			assert.Equal(t, 1, n, "seed %d: %s", seed, c)
		}
	}
	assert.Greater(t, asked, 4, "it is asked at all")
}

// An electrode that is put into the beaker after the run was begun moves
// before anything is ordered: none of that is the doing of the order, and what the beaker was
// before it is what it was ordered on. From 63 drops of base that were said to have begun in the
// standard before, an order of 2913 drops came of it.
func TestWhatMovedBeforeAnOrderIsNotItsDoing(t *testing.T) {
	num := runtest.Num
	k, err := keep.NewKeeper(first(recipe.Plan{
		Name:    "phosphate, invented",
		Target:  recipe.Target{PH: num(7.3), Tolerance: num(0.05), UseTempC: num(24)},
		Beaker:  recipe.Beaker{StartML: num(350), FinalML: num(500), TempC: num(24)},
		Weighed: []recipe.Weighed{{Reagent: "sodium dihydrogen phosphate", MMol: num(50)}},
		Titrants: []recipe.Titrant{
			{Name: "NaOH 5 M", Reagent: "NaOH", Molar: num(5), DropUL: num(50)},
			{Name: "NaOH 0.5 M", Reagent: "NaOH", Molar: num(0.5), DropUL: num(50)},
		},
	}), &keep.Discard{}, wall)
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(4, 4))
	shown, ordered, from := 6.92, view.View{}, math.NaN()
	for sec := 1.0; sec < 400; sec++ {
		to := 6.92
		switch {
		case sec >= 64 && sec < 78: // a little of something else: it seems to be back
			to = 6.89
		case sec >= 78:
			to = 4.47
		}
		if drops := ordered.Advice.Drops; drops > 0 { // in half a second each, 5 s later
			to += (ordered.Advice.After - 4.47) * math.Min(1, math.Max(0, sec-from-5)/(0.5*drops))
			if sec > from+5+0.5*drops+5 {
				a, err := k.State.Addition(ordered.Titrant, drops, 0)
				require.NoError(t, err)
				require.NoError(t, k.Take(journal.Event{T: sec, Kind: journal.Added, Added: &a}))
				break
			}
		}
		shown += (to - shown) * 0.4
		y := math.Round(100*(shown+0.002*r.NormFloat64())) / 100
		require.NoError(t, k.Take(journal.Event{T: sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}}))
		if v := k.Look(sec); v.Advice.Do == coach.Add && math.IsNaN(from) {
			require.Greater(t, sec, 78.0)
			ordered, from = v, sec
		}
	}
	en, ok := k.State.Latest()
	require.True(t, ok)
	assert.Greater(t, en.From, from)
	assert.InDelta(t, ordered.Settling.End, en.Before.End, 0.05)
}

// Nor is an addition held out to who does not want to wait for a better reading, on a liquid
// that is not the beaker's: after a minute of 6.9, where 5.9 is the most, there were 25 drops to go ahead with.
func TestNothingIsOfferedOnAnotherLiquid(t *testing.T) {
	for seed := uint64(1); seed <= 6; seed++ {
		p := yesterday()
		p.Target.PH, p.Target.Tolerance = runtest.Num(7.5), runtest.Num(0.05)
		k, err := keep.NewKeeper(first(p), &keep.Discard{}, wall)
		require.NoError(t, err)
		r := rand.New(rand.NewPCG(seed, 2))
		for sec := 1.0; sec < 90; sec++ { // then it is asked in other words
			y := math.Round(100*(7.2+2*math.Exp(-sec/4)+0.003*r.NormFloat64())) / 100
			require.NoError(t, k.Take(journal.Event{T: sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}}))
			v := k.Look(sec)
			require.NotEqual(t, coach.Add, v.Advice.Do, "seed %d, %g s: %s", seed, sec, v.Sentence())
			require.Nil(t, v.Offer, "seed %d, %g s: %s", seed, sec, v.Why())
			if sec > 50 {
				require.Contains(t, v.Why(), "i when the electrode is in the beaker", "seed %d, %g s: %s", seed, sec, v.Sentence())
			}
		}
	}
}
