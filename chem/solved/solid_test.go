package solved_test

import (
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func solid(t testing.TB, name string) []*solved.Solid {
	t.Helper()
	for _, s := range table.Solids() {
		if s.Name == name {
			return []*solved.Solid{s}
		}
	}
	t.Fatalf("no solid %q", name)
	return nil
}

func saturation(t testing.TB, s chem.Solution, name string, opts ...chem.Option) solved.Saturation {
	t.Helper()
	r, err := solved.Describe(s, opts...)
	require.NoError(t, err)
	list, err := r.Saturation(solid(t, name))
	require.NoError(t, err)
	require.Len(t, list, 1, name)
	return list[0]
}

// Saturated solutions of known strength lie on their own index of zero: gypsum
// 15.2 mmol/kg (2.6 g/L; W. L. Marshall & R. Slusher, J. Phys. Chem. 70, 4015
// (1966)), calcium hydroxide 20.3 mmol/kg, the standard of pH 12.45 (Bates,
// Determination of pH), calcium fluoride 16 mg/L, magnesium hydroxide 6.9 mg/L (others
// say 6.4 to 9, three times that in the index), borax 3.2 g of Na2B4O7 in 100
// g of water, all from memory of handbook tables.
func TestSaturatedSolutionsAreSaturated(t *testing.T) {
	for _, tc := range []struct {
		name            string
		systems, strong map[string]float64
		within          float64
	}{
		{"gypsum", map[string]float64{"calcium": 15.2, "sulfate": 15.2}, nil, 0.06},
		{"calcium hydroxide", map[string]float64{"calcium": 20.3}, nil, 0.1},
		{"fluorite", map[string]float64{"calcium": 0.205, "fluoride": 0.41}, nil, 0.1},
		{"brucite", map[string]float64{"magnesium": 0.118}, nil, 0.2},
		{"borax", map[string]float64{"borate": 4 * 159}, map[string]float64{"Na+": 2 * 159}, 0.2},
	} {
		s := bath(t, 25, tc.systems, tc.strong)
		s.Water = chem.Kilogram
		assert.InDelta(t, 0, saturation(t, s, tc.name).Index, tc.within, tc.name)
	}
}

// Potassium hydrogen tartrate, saturated at 25 °C, is the standard of pH 3.557: 0.0341 mol/kg
// (Bates, Determination of pH, from memory), which the standard at 0.034 mol/kg does not exceed.
func TestTheTartrateStandardIsJustSaturated(t *testing.T) {
	s := bath(t, 25, map[string]float64{"tartrate": 34.1}, map[string]float64{"K+": 34.1})
	s.Water = chem.Kilogram
	assert.InDelta(t, 0, saturation(t, s, "potassium hydrogen tartrate").Index, 0.03)
}

// Calcite in water under air of 330 ppm CO₂: 0.46 mmol/L of calcium at pH 8.3 to 8.4
// (R. M. Garrels & C. L. Christ, Solutions, Minerals, and Equilibria, 1965, ch.
// 3, pH 8.4 at 316 ppm; from memory).
func TestCalciteUnderAir(t *testing.T) {
	s := bath(t, 25, map[string]float64{"calcium": 0.46, "carbonate": 0.92}, nil)
	r, err := solved.Describe(s, chem.OpenToAir(330e-6))
	require.NoError(t, err)
	assert.InDelta(t, 8.3, r.PH, 0.1)
	assert.InDelta(t, 0, saturation(t, s, "calcite", chem.OpenToAir(330e-6)).Index, 0.1)
}

// What is said to come out leaves a solution that is just saturated and has
// the pH that was said.
func TestWhatComesOutLeavesItSaturated(t *testing.T) {
	for name, systems := range map[string]map[string]float64{
		"brushite": {"calcium": 5, "phosphate": 20}, "calcite": {"calcium": 2, "carbonate": 25},
		"struvite": {"magnesium": 10, "ammonia": 50, "phosphate": 30}, "magnesium hydroxide": {"magnesium": 50, "Tris": 5},
	} {
		strong := map[string]float64{"Na+": 60, "Cl-": 40}
		if name == "struvite" || name == "magnesium hydroxide" {
			strong["Na+"] = 120
		}
		s := bath(t, 25, systems, strong)
		s.Water = chem.Kilogram
		x := saturation(t, s, name)
		require.Greater(t, x.Index, 0.3, name)
		require.Greater(t, x.Amount, 0.0, name)
		for _, p := range x.Solid.Parts {
			systems[p.System] -= 1e3 * x.Amount * float64(p.Count)
		}
		rest := bath(t, 25, systems, strong)
		rest.Water = chem.Kilogram
		y := saturation(t, rest, name)
		assert.InDelta(t, 0, y.Index, 1e-3, name)
		r, err := solved.Describe(rest)
		require.NoError(t, err)
		assert.InDelta(t, x.PH, r.PH, 1e-5, name)
		assert.InDelta(t, x.Left, systems[x.Holds]*1e-3, 1e-8, "%s: %s left", name, x.Holds)
	}
}

// Dulbecco's saline with calcium (0.9 mM) and magnesium (0.5 mM) beside 9.5 mM
// of phosphate stays clear: it is sold so (common practice, no source). Five
// times the calcium does not. Strong ions drop out too: potassium with dodecyl
// sulfate, and sodium does not.
func TestWhatStaysClearAndWhatDoesNot(t *testing.T) {
	saline := func(calcium float64) chem.Solution {
		return bath(t, 25, map[string]float64{"calcium": calcium, "magnesium": 0.5, "phosphate": 9.6},
			map[string]float64{"Na+": 137 + 16.2, "K+": 2.7 + 1.5, "Cl-": 137 + 2.7 + 1 + 2*calcium})
	}
	s := saline(0.9)
	assert.Less(t, saturation(t, s, "brushite").Index, 0.3)
	assert.Negative(t, saturation(t, s, "magnesium hydrogen phosphate").Index)
	s = saline(4.5)
	x := saturation(t, s, "brushite")
	assert.Greater(t, x.Index, 0.5)
	assert.Equal(t, "calcium", x.Holds)
	k := bath(t, 25, nil, map[string]float64{"K+": 100, "dodecyl sulfate-": 3.5, "Cl-": 96.5})
	assert.Greater(t, saturation(t, k, "potassium dodecyl sulfate").Index, 1.0)
	na := bath(t, 25, nil, map[string]float64{"Na+": 100, "dodecyl sulfate-": 3.5, "Cl-": 96.5})
	r, err := solved.Describe(na)
	require.NoError(t, err)
	list, err := r.Saturation(table.Solids())
	require.NoError(t, err)
	assert.Empty(t, list, "no part of a salt is there")
}
