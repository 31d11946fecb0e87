package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
)

// A temperature that is typed moves the aim as the pKa of the buffer does, at once
// and in full: Tris has -0.028 pH per °C (CRC Handbook, from memory).
func TestTemperatureTyped(t *testing.T) {
	w := walkingTris(t)
	was := w.keep.Look(0).Advice.Aim
	say := func(temp float64) error {
		return w.keep.Take(journal.Event{T: w.sec, Kind: journal.Warmed, TempC: &temp})
	}
	require.NoError(t, say(20))
	v := w.keep.Look(0)
	assert.InDelta(t, 5*0.028, v.Advice.Aim-was, 0.02)
	assert.True(t, v.Measured)
	assert.InDelta(t, 20, float64(v.BenchTemp), 1e-9)
	require.NoError(t, say(25))
	assert.InDelta(t, was, w.keep.Look(0).Advice.Aim, 1e-6, "and back, in full")
	for _, bad := range []float64{0, -3, 77, 212, math.Inf(1)} {
		assert.ErrorContains(t, say(bad), "is not the temperature of a beaker", bad)
	}
	w.in(8, 3) // a meter that sends a temperature
	assert.ErrorContains(t, say(20), "the meter sends a temperature")
}

func walkingTris(t *testing.T) *walker {
	return walkingIn(t, recipe.Plan{
		Target: recipe.Target{PH: num(8.1)}, Beaker: recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(25)},
		Weighed:  []recipe.Weighed{{Reagent: "Tris", MMol: num(10)}},
		Titrants: []recipe.Titrant{{Name: "HCl 1 M", Reagent: "HCl", Molar: num(1)}},
	})
}
