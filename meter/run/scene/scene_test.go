package scene_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/scene"
)

func tris(t *testing.T) *coach.Bench {
	t.Helper()
	setup, err := recipe.Compile(runtest.Tris())
	require.NoError(t, err)
	b, err := setup.Bench(22)
	require.NoError(t, err)
	return b
}

// Where a plan may begin lies about its forecast, wider with more buffer that may be
// another; of an unknown composition nobody knows.
func TestForetell(t *testing.T) {
	b := tris(t)
	r := scene.Foretell(b)
	start := b.Forecast().Start
	assert.Less(t, r.Low, start)
	assert.Greater(t, r.High, start)
	assert.InDelta(t, 8.25+math.Log10(0.88/0.12), r.Low, 0.1, "with 12 %% of it protonated: %v", r)
	b.Unweighed = true
	assert.True(t, math.IsNaN(scene.Foretell(b).Low))
}

// Of 20 mmol of Tris at its pKa, 8.16 at 22 °C and 0.09 more by Debye and Hückel at 0.06 M,
// half is protonated: 10 mmol of charge; the capacity is ln 10 / 4 of the amount, 11.5 mmol
// per pH.
func TestAStopSpeaksForItsCharge(t *testing.T) {
	b := tris(t)
	adds := []coach.Addition{{Stock: 0, Volume: 5 * chem.Millilitre}}
	var m scene.Stops
	list := m.Of(b, adds, []coach.Observation{{After: 0, PH: 10.4}, {After: 1, PH: 8.25, SD: 0.01}, {After: 2, PH: 7}, {After: 1, PH: math.NaN()}})
	require.Len(t, list, 2, "what was read after more than was added, or is no number, says nothing")
	assert.InDelta(t, 11.5e-3, list[1].Capacity, 0.5e-3)
	assert.InDelta(t, 0, list[1].Extra, 0.5e-3, "5 mL of 2 M are 10 mmol, as it should be")
	again := m.Of(b, adds, []coach.Observation{{After: 0, PH: 10.4}, {After: 1, PH: 8.25, SD: 0.01}})
	assert.Equal(t, list, again)
}

// Water with a salt in it has no pH of its own: as it has stood in air it is at 5.6 (CO₂ at
// 420 ppm, Henry's constant and pK1 of Plummer and Busenberg, 1982), and a trace of base on the
// glass takes it as far the other way. Beside a buffer that is nothing.
func TestForetellOfWhatHasNoBuffer(t *testing.T) {
	x := runtest.Num
	p := recipe.Plan{
		Target: recipe.Target{PH: x(8)}, Beaker: recipe.Beaker{StartML: x(200), FinalML: x(250), TempC: x(25)},
		Weighed: []recipe.Weighed{{Reagent: "NaCl", MMol: x(20)}}, Titrants: []recipe.Titrant{{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: x(0.1)}},
	}
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := setup.Bench(25)
	require.NoError(t, err)
	r := scene.Foretell(b)
	const most = 8 * 2.5e-5 // mol/kg: what may come with a buffer is eight standard deviations of it
	assert.InDelta(t, -math.Log10(most), r.Low, 0.1)
	assert.InDelta(t, 14+math.Log10(most), r.High, 0.2)
	buffered := tris(t)
	assert.InEpsilon(t, buffered.Buffer, buffered.Scale(buffered.Buffer), 1e-12)
}
