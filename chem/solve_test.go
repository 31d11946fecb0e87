package chem_test

import (
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

// Hydroxide draws water together: NaOH takes −5.25 mL/mol at infinite dilution and 25 °C, Na⁺ −1.21 and
// OH⁻ −4.04 (F. J. Millero, in Water and Aqueous Solutions, 1972, from memory).
func TestHydroxideDrawsWaterTogether(t *testing.T) {
	r, err := table.ByAmount("NaOH")
	require.NoError(t, err)
	s := chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 25}, r.Dissolved(10*chem.Millimole).At(25))
	assert.InDelta(t, -5.25, s.Solutes().Millilitres()/0.01, 1)
}

// Of solutes that leave hardly any water there is no pH to speak of: nine tenths of the volume and
// more are refused. Glycerol takes 71 mL/mol (92.09 g/mol, 1.261 g/mL, and 1 to 2 less in water).
func TestHowMuchOfAVolumeSolutesMayTake(t *testing.T) {
	r, err := table.ByAmount("glycerol")
	require.NoError(t, err)
	for share, ok := range map[float64]bool{0.85: true, 0.96: false} {
		err := chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 25}, r.Dissolved(chem.Amount(share/0.0713)).At(25)).Validate()
		assert.Equal(t, ok, err == nil, "%g: %v", share, err)
	}
}
