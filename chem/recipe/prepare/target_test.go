package prepare_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A strong buffer has its target in use, with the room that the titrant takes up, and the
// aim of one that is used where it is made is not put down to temperature.
func TestStrongBuffersHaveTheirTarget(t *testing.T) {
	for _, tc := range []struct {
		name      string
		ph, molar float64
	}{{"EDTA disodium salt", 8, 0.5}, {"Tris", 8, 2}, {"HEPES", 7.5, 1}, {"phosphate", 7.2, 0.8}, {"HEPES", 7.4, 0.02}} {
		d := buffer.NewDemand(tc.ph)
		d.Buffer, d.Molar, d.Volume, d.Anyway = tc.name, chem.Molarity(tc.molar), chem.Litre, true
		x := draft(t, d)
		assert.InDelta(t, tc.ph, x.InUse.PH, 0.0005, tc.name)
		var text []string
		for _, s := range x.Sheet(prepare.Doing{}) {
			text = append(text, s.Text+" "+strings.Join(s.Details, " "))
		}
		assert.NotContains(t, strings.Join(text, "\n"), "because the pH changes with temperature", tc.name)
	}
}

// What is asked for by a short name starts from the jar that is meant: 0.5 M EDTA is
// made from the disodium salt with about 20 g of sodium hydroxide a litre (bench
// manuals, as in chem's TestEDTAStockTakesItsBase).
func TestABufferNamedAsAJarStartsFromIt(t *testing.T) {
	for name, want := range map[string]string{"EDTA": "EDTA disodium salt", "cacodylate": "sodium cacodylate", "HEPES": "HEPES"} {
		d := buffer.NewDemand(7.4)
		d.Buffer, d.Anyway = name, true
		assert.Equal(t, want, draft(t, d).Measures[0].Reagent.Name, name)
	}
	d := buffer.NewDemand(8)
	d.Buffer, d.Molar, d.Volume, d.Anyway = "EDTA", 0.5, chem.Litre, true
	assert.InDelta(t, 500, draft(t, d).Amount.Millimoles(), 25)
}

// Ten times what is tenfold already is asked about: 1.37 M of sodium chloride would be
// 13.7, and water holds 6.1 (26.4 % at 25 °C, handbook tables).
func TestTheStockOfAStock(t *testing.T) {
	r, err := written.Read("Na2HPO4 100 mM; NaCl 1.37 M; KCl 27 mM", chem.Litre)
	require.NoError(t, err)
	var s chem.Solution
	var list []table.Reagent
	for _, p := range r.Parts {
		s, list = chem.Mix(s, p.Reagent.Dissolved(10*p.Amount)), append(list, p.Reagent) // a litre of stock makes ten
	}
	d := buffer.NewDemand(math.NaN())
	d.Volume, d.Times = chem.Litre, 10
	_, err = buffer.Examine(d, s, list)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Equal(t, "strength", bad[0].Field)
	assert.Contains(t, bad.Hints()[0], "where it is that of the stock")
}

// What the aim is off the target by is the sum of the reasons that are said, as they are
// printed: a target of 7.40 and an aim of 7.17 stood beside "−0.22".
func TestTheReasonsOfAnAimAddUp(t *testing.T) {
	number := regexp.MustCompile(`[+-]\d\.\d\d`)
	for _, a := range []prepare.Aim{
		{Target: 7.4, Shown: 7.173, Temperature: -0.223, Dilution: -0.004},
		{Target: 7.4, Shown: 7.16, Temperature: -0.235, Dilution: -0.005},
		{Target: 7.2, Shown: 7.31, Temperature: 0.12, Dilution: -0.01},
		{Target: 7.4, Shown: 7.45, Temperature: 0.0549, Strength: -0.0049},
	} {
		words := a.Words(21.5, 4)
		sum := 0.0
		for _, x := range number.FindAllString(words, -1) {
			v, err := strconv.ParseFloat(x, 64)
			require.NoError(t, err)
			sum += v
		}
		aim, err := strconv.ParseFloat(strconv.FormatFloat(a.Shown, 'f', 2, 64), 64)
		require.NoError(t, err)
		assert.InDelta(t, aim-a.Target, sum, 1e-9, words)
	}
}
