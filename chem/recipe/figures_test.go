package recipe_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
)

// What a plan takes for granted, and how likely a gross mistake is before anything is read:
// choices of this project, as its guide and its sheets say them; who changes one changes a row.
func TestFiguresThatAPlanTakesForGranted(t *testing.T) {
	num := func(x float64) *float64 { return &x }
	plan := recipe.Plan{Target: recipe.Target{PH: num(7)}, Beaker: recipe.Beaker{StartML: num(160), FinalML: num(200)},
		Weighed: []recipe.Weighed{{Reagent: "sodium dihydrogen phosphate dihydrate", MMol: num(10)}, {Reagent: "disodium phosphate dihydrate", MMol: num(10)}},
		Titrants: []recipe.Titrant{{Name: "base", Reagent: "NaOH", Molar: num(1)}, {Name: "acid", Reagent: "HCl", Molar: num(1), By: "burette"},
			{Name: "measured", Reagent: "NaOH", Molar: num(2), DropUL: num(40)}, {Name: "pipetted", Reagent: "HCl", Molar: num(2), By: "pipette"}}}
	s, err := recipe.Compile(plan)
	require.NoError(t, err)
	assert.Equal(t, 0.05, s.Tolerance)
	for i, want := range []float64{0.15, 0.005, 0.10, 0.01} { // of a drop, of a burette, of a drop that was measured, of a pipette
		assert.InDelta(t, want, s.Stocks[i].DropSD, 1e-12, s.Stocks[i].Name)
		assert.InDelta(t, 0.04, s.Stocks[i].MolarSD, 1e-12)
	}
	b, err := s.Bench(25)
	require.NoError(t, err)
	got := map[string]float64{}
	for _, m := range b.Mistakes {
		got[m.Code] += m.Prior
		if m.Code == "other_form:trisodium phosphate" {
			assert.Equal(t, 0.12, m.AmountSD, "by mass or by amount is not known")
		}
	}
	for code, want := range map[string]float64{
		"exchanged": 0.010, "other_form:trisodium phosphate": 2 * 0.010, "amount:0.5": 0.008, "amount:1.5": 0.008, "amount:2": 0.004,
		"other_hydrate:disodium phosphate anhydrous": 0.004, "absent": 1e-5, "electrode": 0.004,
		"stock:base:2": 0.004, "stock:base:0.5": 0.006, "stock:base:10": 0.0004, "stock:base:0.1": 0.006, "kind:base": 0.004,
	} {
		assert.InEpsilon(t, want, got[code], 1e-9, "%s in %v", code, got)
	}
	// A hundredfold stock is the strongest that is planned.
	for times, fine := range map[float64]bool{100: true, 120: false, 60: true} {
		plan.Target.Dilute = num(times)
		_, err := recipe.Compile(plan)
		assert.Equal(t, fine, err == nil, "%g times: %v", times, err)
	}
}

// Carbon dioxide boils out of a solution of pH 3.5, and not of one of pH 5.2: in 60 mL the excess of
// acid over 2.50 mmol of base is 0.019 mmol, or 0.0004.
func TestWhereCarbonDioxideBoilsOut(t *testing.T) {
	for acid, fine := range map[float64]bool{2.52: true, 2.5004: false} {
		_, err := recipe.Compile(antacid(acid, true))
		assert.Equal(t, fine, err == nil, fmt.Sprint(acid, " mmol: ", err))
	}
}

// Three weighings that agree within a hundredth make a drop known to 5 %, and not to 2.
func TestADropIsNeverKnownBetterThanItIsUsed(t *testing.T) {
	d, err := recipe.MeasureDrop(20, []float64{1.00, 1.01, 1.00}, 1)
	require.NoError(t, err)
	assert.InDelta(t, 5, d.SDPct, 1e-12)
}
