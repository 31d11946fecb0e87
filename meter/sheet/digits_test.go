package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/meter/sheet"
)

// A pH has the decimals that its spread leaves, and no figure an exponent.
func TestAPHHasTheDecimalsOfItsSpread(t *testing.T) {
	of := func(mM map[string]float64) string {
		s := chem.Solution{Temp: 25}
		for _, name := range []string{"Tris", "HCl", "boric acid", "ammonium sulfate"} {
			r, err := table.ByAmount(name)
			require.NoError(t, err)
			s = chem.Mix(s, r.Dissolved(chem.Amount(mM[name])*chem.Millimole))
		}
		r, err := solved.Describe(s.At(25).MadeUpTo(chem.Litre))
		require.NoError(t, err)
		var b strings.Builder
		require.NoError(t, sheet.WriteMixture(&b, r, false))
		return b.String()
	}
	assert.Regexp(t, `^pH +\d\.\d{3} ± 0\.0\d\d\n`, of(map[string]float64{"Tris": 50, "HCl": 25}))
	assert.Regexp(t, `^pH +\d\.\d ± 0\.2\n`, of(map[string]float64{"Tris": 89, "boric acid": 89}))
	assert.Regexp(t, `^pH +\d\.\d{2} ± 0\.1\n`, of(map[string]float64{"Tris": 89, "boric acid": 30}), "between them")
	strong := of(map[string]float64{"Tris": 50, "HCl": 40, "ammonium sulfate": 2000})
	assert.Regexp(t, `^pH +\d\.\d ± 0\.\d\n`, strong)
	assert.Regexp(t, `ionic strength +\d{4} mmol`, strong)
}

// An amount that is less than its own uncertainty is no amount to go by.
func TestAnAmountBelowItsUncertaintyIsNotSaid(t *testing.T) {
	x, list := drafted(t, "Tris", 8, 0.05, buffer.ByTitrant)
	assert.Regexp(t, `then about [0-9.]+ ± [0-9.]+ mmol of hydrochloric acid`, strings.Join(strings.Fields(written(t, sheet.Plain, x, list)), " "))
	x.AmountSD = 2 * x.Amount
	words := strings.Join(strings.Fields(written(t, sheet.Plain, x, list)), " ")
	assert.Contains(t, words, "How much hydrochloric acid it then takes is not known to better than ± ")
	assert.NotContains(t, words, "then about")
	x.Other.Spread = 1.64
	assert.Contains(t, strings.Join(strings.Fields(written(t, sheet.Plain, x, list)), " "), "Predicted pH 8.00 ± 2 as weighed")
}

// Where a decimal goes: 0.14 keeps the hundredth, 0.16 does not; 0.04 the thousandth, 0.06 not.
func TestWhereADecimalOfAPHGoes(t *testing.T) {
	of := func(spread float64) string {
		var b strings.Builder
		require.NoError(t, sheet.WriteMixture(&b, &solved.Result{PH: 7.123, Spread: spread}, false))
		first, _, _ := strings.Cut(b.String(), "\n")
		return strings.Join(strings.Fields(first), " ")
	}
	assert.Equal(t, "pH 7.1 ± 0.2", of(0.16))
	assert.Equal(t, "pH 7.12 ± 0.1", of(0.14))
	assert.Equal(t, "pH 7.12 ± 0.06", of(0.06))
	assert.Equal(t, "pH 7.123 ± 0.045", of(0.045))
}
