package chem_test

import (
	"math"
	"strconv"
	"testing"

	"example.org/halfdrop/chem"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Textbook titrations with activities off: OpenStax Chemistry 2e, 14.7. The
// book counts mol per litre and rounds with pKw 14, so volumes stand for
// kilograms of water here. One row is held to the book's own formula instead:
// the note of barbituric acid at 0 mL says that the quadratic gives 2.52.
func TestIdealTitrations(t *testing.T) {
	rows := rowsOf(t, "ideal_titrations.csv")
	worst := 0.0
	for _, r := range rows {
		num := func(i int) float64 {
			v, err := strconv.ParseFloat(r[i], 64)
			require.NoError(t, err)
			return v
		}
		acid, base, want := num(2)*num(3)*1e-3, num(5)*num(6)*1e-3, num(7)
		if r[10] != "" {
			want = 2.52
		}
		s := chem.Solution{Volume: chem.Volume(num(3)+num(6)) * chem.Millilitre, Temp: 25}
		s.Water = chem.Mass(s.Volume.Litres()) * chem.Kilogram
		if r[1] == "strong" {
			s.Ions = append(s.Ions, chem.IonTotal{Ion: chem.Ion{Name: "Cl-", Charge: -1}, Amount: chem.Amount(acid)})
		} else {
			weak := &chem.System{Name: r[0], Steps: []chem.Step{{PK: -math.Log10(num(1))}}}
			s.Systems = []chem.SystemTotal{{System: weak, Amount: chem.Amount(acid)}}
		}
		s.Ions = append(s.Ions, chem.IonTotal{Ion: chem.Ion{Name: "Na+", Charge: 1}, Amount: chem.Amount(base)})
		res, err := chem.Describe(s, chem.Ideal)
		require.NoError(t, err)
		assert.InDelta(t, want, res.PH, 0.015, "%s, %s mL (%s)", r[0], r[6], r[8])
		worst = math.Max(worst, math.Abs(res.PH-want))
	}
	t.Logf("largest difference %.3f over %d points", worst, len(rows))
}
