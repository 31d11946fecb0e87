package chem_test

import (
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Densities at 25 °C, g/mL, of solutions by mol/L: those of salts and sucrose
// from the correlation of M. Laliberté & W. E. Cooper, J. Chem. Eng. Data 49,
// 141 (2004) and 54, 1725 (2009), in a public table; urea, guanidine and Tris
// from the CRC Handbook and Kawahara & Tanford (1966), partly from memory.
func TestDensities(t *testing.T) {
	for _, tc := range []struct {
		reagent string
		molar   float64
		want    float64
	}{
		{"NaCl", 1, 1.0369}, {"NaCl", 3, 1.1125}, {"KCl", 1, 1.0428}, {"(NH4)2SO4", 2, 1.1325}, {"MgCl2", 1, 1.0718}, {"CaCl2", 1, 1.0837},
		{"MgSO4", 1, 1.1111}, {"K2HPO4", 1, 1.1363}, {"KH2PO4", 0.5, 1.0429}, {"NaH2PO4", 1, 1.0830}, {"Na2HPO4 anhydrous", 0.3, 1.0371},
		{"sodium acetate anhydrous", 3, 1.1136}, {"NaOH", 1, 1.0392}, {"Na2CO3 anhydrous", 1, 1.0980}, {"NaHCO3", 0.5, 1.0264}, {"NH4Cl", 1, 1.0126},
		{"sucrose", 1, 1.1269}, {"urea", 8, 1.1176}, {"guanidine hydrochloride", 6, 1.1418}, {"Tris", 1, 1.0286}, {"glycerol", 1.108, 1.0207},
	} {
		r, err := table.ByAmount(tc.reagent)
		require.NoError(t, err)
		s := chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 25}, r.Dissolved(chem.Amount(tc.molar)).At(25))
		got := s.WaterMass().Grams() + float64(table.DryMass(r))*tc.molar
		assert.InEpsilon(t, tc.want, got/1e3, 0.005, "%s %g M: %.4f", tc.reagent, tc.molar, got/1e3)
		t.Logf("%-24s %g M: %.4f, published %.4f (%+.2f %%)", tc.reagent, tc.molar, got/1e3, tc.want, 100*(got/1e3/tc.want-1))
	}
}

// What takes up all the room leaves none for a pH.
func TestNoRoomForWater(t *testing.T) {
	r, err := table.ByAmount("glycerol")
	require.NoError(t, err)
	s := chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 25}, r.Dissolved(13).At(25))
	_, err = chem.Describe(s)
	require.ErrorIs(t, err, chem.ErrAbsurd)
}

// A neutral substance takes up room: a mol/L of sucrose makes what is beside it
// stronger by a quarter per kilogram of water, and nothing else.
func TestRoomConcentratesTheRest(t *testing.T) {
	with := func(sucrose float64) *chem.Result {
		s := chem.Solution{Volume: chem.Litre, Temp: 25}
		for name, n := range map[string]float64{"Tris": 0.05, "HCl": 0.025, "sucrose": sucrose} {
			r, err := table.ByAmount(name)
			require.NoError(t, err)
			s = chem.Mix(s, r.Dissolved(chem.Amount(n)).At(25))
		}
		res, err := chem.Describe(s)
		require.NoError(t, err)
		return res
	}
	a, b := with(0), with(1)
	assert.InEpsilon(t, 1.27, b.Strength/a.Strength, 0.01) // 1/(1 − 0.2116)
	assert.InDelta(t, a.PH, b.PH, 0.02)
	assert.Greater(t, b.Spread, a.Spread, "and makes it less certain")
}
