package chem_test

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEquimolalPhosphateStandard(t *testing.T) {
	p := &chem.System{Name: "phosphate", Steps: []chem.Step{{PK: 2.148, DH: -8, DCp: -141}, {PK: 7.198, DH: 3.6, DCp: -230}, {PK: 12.35, DH: 16, DCp: -242}}}
	m, err := chem.NewModel(25, []*chem.System{p})
	require.NoError(t, err)
	c, err := m.Compose(chem.Solution{
		Volume: chem.Litre, Temp: 25, Water: chem.Kilogram,
		Systems: []chem.SystemTotal{{System: p, Amount: 0.05}},
		Ions:    []chem.IonTotal{{Ion: chem.Ion{Name: "K", Charge: 1}, Amount: 0.025}, {Ion: chem.Ion{Name: "Na", Charge: 1}, Amount: 0.05}},
	})
	require.NoError(t, err)
	e, err := m.Solve(&c)
	require.NoError(t, err)
	// pH(S) 6.865 at 25 °C, 0.025 m KH2PO4 + 0.025 m Na2HPO4:
	// R. G. Bates, J. Res. NBS 66A, 179 (1962).
	require.InDelta(t, 6.865, e.PH, 0.012)
	require.InDelta(t, 0.1, e.Strength, 0.001)
}

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

func TestWaterAndCarbonicAcidAgainstPublishedTables(t *testing.T) {
	rows := rowsOf(t, "water.csv")
	carbonate, err := table.System("carbonate")
	require.NoError(t, err)
	for _, r := range rows {
		temp, err := strconv.ParseFloat(r[1], 64)
		require.NoError(t, err)
		want, err := strconv.ParseFloat(r[2], 64)
		require.NoError(t, err)
		at := chem.Celsius(temp)
		got, tol := 0.0, 0.0
		switch r[0] {
		case "pkw":
			got, tol = chem.WaterPK(at), 0.0032
		case "density":
			got, tol = 1000*chem.WaterDensity(at), 0.03
		case "permittivity":
			got, tol = chem.Permittivity(at), 0.0051
		case "dh_a":
			got, tol = chem.DebyeHuckelA(at), 0.00011
		case "pkh":
			got, tol = chem.HenryPK(at), 0.0001
		case "pk1_carbonic":
			got, tol = carbonate.Steps[0].PKAt(at), 0.0001
		case "pk2_carbonic":
			got, tol = carbonate.Steps[1].PKAt(at), 0.0001
		default:
			t.Fatalf("no such quantity %q", r[0])
		}
		assert.InDelta(t, want, got, tol, "%s at %s °C (%s)", r[0], r[1], r[3])
	}
}

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
		{"ethanolamine", 3.291, 1.0053}, {"diethanolamine", 1.932, 1.0155}, // 20 % by mass: Y. Maham et al., J. Solution Chem. 23, 195 (1994), from memory, ± 0.002
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

// A mass is written as a balance is to show it.
func TestMassesAsABalanceShowsThem(t *testing.T) {
	for g, want := range map[float64]string{12: "12.00", 4.2: "4.200", 119.155: "119.2", 0.29008: "0.2901", 0.0123: "0.0123", 1234.4: "1234", 0: "0", 9.9996: "10.00", 1.23e-5: "0.000012"} {
		assert.Equal(t, want, chem.Mass(g).Weighed())
	}
}

func TestDigits(t *testing.T) {
	assert.Equal(t, "12.3", chem.Digits(12.345, 3))
	assert.Equal(t, "0.00012", chem.Digits(1.2345e-4, 2), "no exponent")
	assert.Equal(t, "28.6", chem.Digits(28.571, 3))
	assert.Equal(t, "1230", chem.Digits(1234, 3))
	assert.Equal(t, "2", chem.Digits(1.999, 2), "no zeros at the end")
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
		r, err := chem.Describe(s, chem.Ideal)
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
