package table_test

import (
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
	less, err := saline(0.00083).Saturation(table.Solids())
	require.NoError(t, err)
	most := 0.0
	for _, x := range less {
		if !x.Solid.Slow {
			most = max(most, x.Index)
		}
	}
	require.InDelta(t, 0.22, most, 0.04)
	now, _, err = table.ComesOut(saline(0.00083))
	require.NoError(t, err)
	assert.Empty(t, now, "constants of one salt differ by more than that")
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
