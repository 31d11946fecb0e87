package solved_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
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
		res, err := solved.Describe(s, chem.Ideal)
		require.NoError(t, err)
		assert.InDelta(t, want, res.PH, 0.015, "%s, %s mL (%s)", r[0], r[6], r[8])
		worst = math.Max(worst, math.Abs(res.PH-want))
	}
	t.Logf("largest difference %.3f over %d points", worst, len(rows))
}

// What takes up all the room leaves none for a pH.
func TestNoRoomForWater(t *testing.T) {
	r, err := table.ByAmount("glycerol")
	require.NoError(t, err)
	s := chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 25}, r.Dissolved(13).At(25))
	_, err = solved.Describe(s)
	require.ErrorIs(t, err, chem.ErrAbsurd)
}

// Of 85 % of a polymer in water there is a pH to speak of, of 95 % none.
func TestHowMuchRoomIsLeft(t *testing.T) {
	for share, fine := range map[float64]bool{0.85: true, 0.95: false} {
		s := bath(t, 25, map[string]float64{"Tris": 2}, map[string]float64{"Cl-": 1})
		s.Room = chem.Volume(share)
		_, err := solved.Describe(s)
		assert.Equal(t, fine, err == nil, "%g: %v", share, err)
	}
}

// A neutral substance takes up room: a mol/L of sucrose makes what is beside it
// stronger by a quarter per kilogram of water, and nothing else.
func TestRoomConcentratesTheRest(t *testing.T) {
	with := func(sucrose float64) *solved.Result {
		s := chem.Solution{Volume: chem.Litre, Temp: 25}
		for name, n := range map[string]float64{"Tris": 0.05, "HCl": 0.025, "sucrose": sucrose} {
			r, err := table.ByAmount(name)
			require.NoError(t, err)
			s = chem.Mix(s, r.Dissolved(chem.Amount(n)).At(25))
		}
		res, err := solved.Describe(s)
		require.NoError(t, err)
		return res
	}
	a, b := with(0), with(1)
	assert.InEpsilon(t, 1.27, b.Strength/a.Strength, 0.01) // 1/(1 − 0.2116)
	assert.InDelta(t, a.PH, b.PH, 0.02)
	assert.Greater(t, b.Spread, a.Spread, "and makes it less certain")
}

// The capacity of one pKa is β = ln 10 · C · Ka·h/(Ka + h)² (D. D. van Slyke, J. Biol. Chem.
// 52, 525 (1922)): at h = Ka it is ln 10 / 4 = 0.5756 of the concentration, its largest.
// Water adds ln 10 · (h + Kw/h), here next to nothing. By hand, 0.100 mol/kg of an acid of
// pKa 7.00, half neutralised: 2.302585 · 0.100 · 0.25 = 57.6 mmol/kg per pH at pH 7.00; one
// unit above, Ka·h/(Ka + h)² = 0.1/1.21 and 19.0 mmol/kg per pH.
func ExampleDescribe_capacity() {
	acid := &chem.System{Name: "an acid", Steps: []chem.Step{{PK: 7}}}
	for _, share := range []float64{1. / 2, 10. / 11} {
		s := chem.Solution{Volume: chem.Litre, Water: chem.Kilogram, Temp: 25,
			Systems: []chem.SystemTotal{{System: acid, Amount: 100 * chem.Millimole}},
			Ions:    []chem.IonTotal{{Ion: chem.Ion{Name: "Na+", Charge: 1}, Amount: chem.Amount(share) * 100 * chem.Millimole}}}
		r, err := solved.Describe(s, chem.Ideal)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("pH %.2f, %.1f mM per pH\n", r.PH, 1e3*r.Capacity)
	}
	// Output:
	// pH 7.00, 57.6 mM per pH
	// pH 8.00, 19.0 mM per pH
}
