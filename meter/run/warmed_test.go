package run_test

import (
	"math"
	"strings"
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

// A meter without a temperature probe sends its setting. Tris made at 19.5 °C and read by one
// that says 25.0 was brought 0.15 too low, and nobody heard a word of it (-0.028 pH per °C, CRC
// Handbook, from memory).
func TestASettingIsNoTemperature(t *testing.T) {
	plan := recipe.Plan{
		Target: recipe.Target{PH: num(8.0), UseTempC: num(20)}, Beaker: recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(19.5)},
		Weighed:  []recipe.Weighed{{Reagent: "Tris", MMol: num(10)}},
		Titrants: []recipe.Titrant{{Name: "HCl 1 M", Reagent: "HCl", Molar: num(1)}},
	}
	for _, c := range []struct {
		temps   []float64
		seconds int
		used    float64
	}{
		{[]float64{25}, 30, 19.5},
		{[]float64{25}, 14, 25}, // nobody knows yet
		{[]float64{25, 25.1}, 30, 25},
		{[]float64{23.4}, 40, 23.4}, // no maker's setting
		{[]float64{20}, 40, 20},     // near enough
	} {
		w := walkingIn(t, plan)
		was := w.keep.Look(0).Advice.Aim
		for i := range c.seconds {
			y := 8.9
			require.NoError(t, w.keep.Take(journal.Event{T: float64(i + 1), Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2, TempC: &c.temps[i%len(c.temps)]}}))
		}
		v := w.keep.Look(float64(c.seconds))
		assert.InDelta(t, (19.5-c.used)*0.028, v.Advice.Aim-was, 0.02, "%v", c.temps)
		set := c.used == 19.5
		assert.Equal(t, set, strings.Contains(v.Note, "as one without a temperature probe does"), "%v: %s", c.temps, v.Note)
		assert.Equal(t, !set, v.Measured, "%v", c.temps)
		if !set {
			continue
		}
		temp := 22.0 // off a thermometer
		require.NoError(t, w.keep.Take(journal.Event{T: 31, Kind: journal.Warmed, TempC: &temp}))
		y := 8.9
		require.NoError(t, w.keep.Take(journal.Event{T: 32, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2, TempC: &c.temps[0]}}))
		v = w.keep.Look(32)
		assert.InDelta(t, (19.5-22)*0.028, v.Advice.Aim-was, 0.01)
		assert.NotContains(t, v.Note, "probe")
	}
}
