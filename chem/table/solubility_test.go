package table_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMoreThanDissolves(t *testing.T) {
	for _, tc := range []struct {
		name  string
		temp  chem.Celsius
		parts map[string]chem.Amount
		ok    bool
	}{
		{"salt", 25, map[string]chem.Amount{"NaCl": 0.5}, true},
		{"too much salt", 25, map[string]chem.Amount{"NaCl": 0.8}, false},
		{"boric acid", 25, map[string]chem.Amount{"boric acid": 0.12}, false},
		{"boric acid when hot", 60, map[string]chem.Amount{"boric acid": 0.12}, true},
		{"boric acid with base", 25, map[string]chem.Amount{"boric acid": 0.12, "NaOH": 0.06}, true},
		{"disodium phosphate", 20, map[string]chem.Amount{"Na2HPO4": 0.08}, false},
		{"caustic", 20, map[string]chem.Amount{"NaOH": 2}, true},
		{"too much caustic", 20, map[string]chem.Amount{"NaOH": 2.7}, false},
		{"no solubility known", 20, map[string]chem.Amount{"AMPD": 0.3}, true},
		{"a salt of two systems", 20, map[string]chem.Amount{"(NH4)2SO4": 0.3}, true},
		{"too much of it", 20, map[string]chem.Amount{"(NH4)2SO4": 0.55}, false},
		{"the free acid of a buffer", 25, map[string]chem.Amount{"PIPES": 0.005}, false},
		{"a loading buffer", 25, map[string]chem.Amount{"SDS": 0.0347, "glycerol": 0.684}, true}, // 10 % in half glycerol (common practice)
		{"too much without", 25, map[string]chem.Amount{"SDS": 0.1}, false},
		{"lime water", 25, map[string]chem.Amount{"Ca(OH)2": 0.0018}, true},
		{"milk of lime", 25, map[string]chem.Amount{"Ca(OH)2": 0.004}, false},
		{"with its base", 25, map[string]chem.Amount{"PIPES": 0.005, "NaOH": 0.008}, true},
	} {
		s := chem.Solution{Volume: 0.1, Temp: tc.temp}
		var list []table.Reagent
		for name, n := range tc.parts {
			r, err := table.ByAmount(name)
			require.NoError(t, err)
			list = append(list, r)
			s = chem.Mix(s, r.Dissolved(n))
		}
		res, err := solved.Describe(s)
		require.NoError(t, err, tc.name)
		err = table.CheckDissolved(list, s, res)
		if tc.ok {
			assert.NoError(t, err, tc.name)
			continue
		}
		var e *table.SolubilityError
		require.ErrorAs(t, err, &e, tc.name)
		assert.Greater(t, e.Have, e.Limit)
		assert.Less(t, e.Have, 100.0)
	}
}

// inALitre are reagents, mol, in a litre at 25 °C.
func inALitre(t *testing.T, names map[string]chem.Amount) *solved.Result {
	t.Helper()
	s := chem.Solution{Volume: 1, Temp: 25}
	for name, n := range names {
		r, err := table.ByAmount(name)
		require.NoError(t, err)
		s = chem.Mix(s, r.Dissolved(n).At(25))
	}
	s.Volume = 1
	res, err := solved.Describe(s)
	require.NoError(t, err)
	return res
}

// What may be held by something without a constant here is no reason to refuse a
// mixture: zinc hydroxide out of Tris at pH 8.5, and beside Bicine perhaps not.
func TestWhatMayBeHeldIsNotRefused(t *testing.T) {
	bare := inALitre(t, map[string]chem.Amount{"TAPS": 0.05, "NaOH": 0.03, "ZnCl2": 0.001})
	var e *table.PrecipitateError
	require.ErrorAs(t, table.CheckClear(bare), &e)
	assert.Empty(t, e.Held)
	held := inALitre(t, map[string]chem.Amount{"Bicine": 0.05, "NaOH": 0.033, "ZnCl2": 0.001})
	require.NoError(t, table.CheckClear(held))
	now, _, err := table.ComesOut(held)
	require.NoError(t, err)
	require.NotEmpty(t, now)
	assert.Contains(t, table.Words(now[0]), "unless Bicine holds")
}

// Phosphate-buffered saline with about a mM of calcium is sold and stands clear (common
// practice, no source), 0.4 above saturation; with twice that it is 0.6.
func TestLittleAboveSaturationIsNotRefused(t *testing.T) {
	saline := func(calcium chem.Amount) *solved.Result {
		return inALitre(t, map[string]chem.Amount{"NaCl": 0.137, "Na2HPO4": 0.0085, "KH2PO4": 0.0018, "CaCl2": calcium})
	}
	sold := saline(0.00112)
	require.NoError(t, table.CheckClear(sold))
	now, _, err := table.ComesOut(sold)
	require.NoError(t, err)
	require.NotEmpty(t, now)
	assert.InDelta(t, 0.4, now[0].Index, 0.06)
	assert.Contains(t, table.Words(now[0]), "may precipitate")
	more := saline(0.0019)
	var e *table.PrecipitateError
	require.ErrorAs(t, table.CheckClear(more), &e)
	assert.InDelta(t, 0.6, e.Index, 0.06)
}

// What comes out and what is left are said in figures that are read at a bench: no powers of ten
// (potassium dodecyl sulfate, by the balance 347 mmol of it a litre), no row of noughts.
func TestAmountsThatComeOutAreReadable(t *testing.T) {
	for names, says := range map[string]string{"SDS": "about 390 mmol/kg of it", "FeCl3": "leaves less than 0.001 mmol/kg"} {
		mix := map[string]chem.Amount{names: 0.347, "KCl": 1}
		if names == "FeCl3" {
			mix = map[string]chem.Amount{names: 0.001, "HEPES": 0.05, "NaOH": 0.027}
		}
		var e *table.PrecipitateError
		require.ErrorAs(t, table.CheckClear(inALitre(t, mix)), &e)
		assert.Contains(t, table.Words(e.Saturation), says)
	}
}

// The figures of judgement of the tables, each where it can be read off.
func TestTheFiguresOfSolubility(t *testing.T) {
	at := func(name string, temp chem.Celsius) float64 {
		r, err := table.ByAmount(name)
		require.NoError(t, err)
		x, ok := r.Solubility(temp)
		require.True(t, ok)
		return x
	}
	// 4.6 mol/L of Tris, 121.1 g/mol: 557 g, which take up 0.72 mL a gram, leave 599 mL of water. Its
	// partial molar volume, 91 mL/mol of the tables of volumes, is 0.75 mL a gram.
	assert.InEpsilon(t, 4.6/0.599, at("Tris", 25), 0.01)
	// EDTA is known at 25 °C only: 1.5 % more a degree.
	assert.InEpsilon(t, math.Exp(0.15), at("EDTA free acid", 35)/at("EDTA free acid", 25), 1e-6)
}

// A salt is said to come out from twice its saturation on: gypsum does by a little more, and
// stays in solution for hours by less.
func TestFromWhereASaltComesOut(t *testing.T) {
	least := math.Inf(1)
	seen := false
	for mmol := 10.0; mmol < 60; mmol *= 1.01 {
		var s chem.Solution
		for name, n := range map[string]float64{"CaCl2": mmol, "Na2SO4": mmol} {
			r, err := table.ByAmount(name)
			require.NoError(t, err)
			s = chem.Mix(s, r.Dissolved(chem.Amount(n)*chem.Millimole))
		}
		r, err := solved.Describe(s.At(25).MadeUpTo(chem.Litre))
		require.NoError(t, err)
		now, later, err := table.ComesOut(r)
		require.NoError(t, err)
		for _, x := range append(now, later...) {
			least, seen = math.Min(least, x.Index), true
		}
	}
	require.True(t, seen)
	assert.InDelta(t, 0.3, least, 0.02)
}
