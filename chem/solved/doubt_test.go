package solved_test

import (
	"math"
	"os"
	"strconv"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/csvrows"
	"example.org/halfdrop/chem/solved"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// part is the doubt of one cause.
func part(r *solved.Result, cause solved.Cause) float64 {
	for _, p := range r.Doubts.Parts {
		if p.Cause == cause {
			return p.PH
		}
	}
	return 0
}

// The figures of judgement in the doubt, each where it can be read off: a wrong
// one by half is outside. All are choices of this project, written down before
// the last published rows were looked at.
func TestTheFiguresOfTheDoubt(t *testing.T) {
	describe := func(systems, strong map[string]float64, temp chem.Celsius) *solved.Result {
		r, err := solved.Describe(bath(t, temp, systems, strong))
		require.NoError(t, err)
		return r
	}
	tris := map[string]float64{"Tris": 50}
	salt := func(mM float64) map[string]float64 {
		return map[string]float64{"Cl-": 25 + mM, "Na+": mM}
	}
	dilute := describe(map[string]float64{"Tris": 10}, map[string]float64{"Cl-": 5}, 25)
	assert.InDelta(t, 0, part(dilute, solved.OfModel), 0.001, "at no ionic strength the law is exact")
	for _, tc := range []struct{ mM, want, within float64 }{
		{1000, 0.018 * 1.05, 0.003},             // per mol/kg
		{2300, 0.022 + 0.045*(2.46-1.2), 0.012}, // beyond the bend
		{4300, 0.022 + 0.045*(4.8-1.2) + 0.15*1.8, 0.05},
	} {
		r := describe(tris, salt(tc.mM), 25)
		assert.InDelta(t, tc.want, part(r, solved.OfModel), tc.within, "%g mM", tc.mM)
	}
	hepes := describe(map[string]float64{"HEPES": 50}, map[string]float64{"Na+": 1025, "Cl-": 1000}, 25)
	// An ion of one charge of its class, 0.10 (I − 0.1), and a zwitterion, 0.05 I.
	assert.InDelta(t, math.Hypot(0.10*(hepes.Strength-0.1), 0.05*hepes.Strength), part(hepes, solved.OfClass), 0.02)
	pipes := describe(map[string]float64{"PIPES": 50}, map[string]float64{"Na+": 1075, "Cl-": 1000}, 25)
	// Of two charges 0.12, beside the one of one charge.
	assert.InDelta(t, math.Hypot(0.12, 0.10)*(pipes.Strength-0.1), part(pipes, solved.OfClass), 0.03)
	atp := describe(map[string]float64{"ATP": 10}, map[string]float64{"Na+": 1035, "Cl-": 1000}, 25)
	// Of three and four charges 0.35 each.
	assert.InDelta(t, math.Hypot(0.35, 0.35)*(atp.Strength-0.1), part(atp, solved.OfClass), 0.1)
	// Where constants are measured the doubt of the coefficients is in them already.
	for mM, want := range map[float64]float64{50: 0, 250: 0.156 * (0.3 + 0.048 - 0.1)} {
		r := describe(map[string]float64{"PIPES": 20}, map[string]float64{"Na+": 30 + mM, "Cl-": mM}, 25)
		assert.InDelta(t, want, part(r, solved.OfClass), 0.25*want+0.001, "%g mM", mM)
	}
	assert.Less(t, part(describe(tris, salt(1000), 25), solved.OfClass), 0.001, "Tris, its cation and sodium chloride have been measured")
	neutral := describe(tris, map[string]float64{"Cl-": 25, "Na+": 1000, "ClO4-": 1000}, 25)
	// TrisH⁺ with perchlorate has the parameters of its class, 0.10 (I − 0.1); so has Tris,
	// 0.05 I, but not with sodium, which is half of it.
	assert.InDelta(t, math.Hypot(0.10*(neutral.Strength-0.1), 0.05/2*neutral.Strength), part(neutral, solved.OfClass), 0.02)
	phosphate := describe(map[string]float64{"phosphate": 50}, map[string]float64{"Na+": 1075, "Cl-": 1000}, 25)
	assert.InDelta(t, 0.07*phosphate.Strength, part(phosphate, solved.OfDispute), 0.015, "two sets of parameters of phosphate")
	low := describe(map[string]float64{"phosphate": 50}, map[string]float64{"Na+": 75}, 25)
	assert.InDelta(t, 0.07*low.Strength*low.Strength/0.35, part(low, solved.OfDispute), 0.001, "which are one when it is dilute")
	acid := describe(nil, map[string]float64{"Cl-": 100}, 25)
	assert.InDelta(t, math.Hypot(0.01+0.0015, 0.01), part(acid, solved.OfScale), 0.003, "free acid: the scale of the single ion")
	assert.InDelta(t, 0.01, part(dilute, solved.OfScale), 0.002)
	assert.InDelta(t, 0.01+0.015*hepes.Strength, part(hepes, solved.OfScale), 0.004)
	warm := describe(map[string]float64{"acetate": 50}, map[string]float64{"K+": 1025, "Cl-": 1000}, 55)
	cool := describe(map[string]float64{"acetate": 50}, map[string]float64{"K+": 1025, "Cl-": 1000}, 25)
	assert.Zero(t, part(cool, solved.OfCoolness))
	assert.InDelta(t, 0.0006*warm.Strength*30, part(warm, solved.OfCoolness), 0.006, "parameters of 25 °C, 30 K away")
	carbonate := describe(map[string]float64{"carbonate": 50}, map[string]float64{"Na+": 75}, 25)
	assert.InDelta(t, 0.035*0.05/carbonate.Capacity, part(carbonate, solved.OfCarbonAcid), 0.01, "a share of it comes or goes")
	weak := describe(map[string]float64{"Tris": 0.2}, map[string]float64{"Cl-": 0.1}, 25)
	assert.InDelta(t, 5e-6/weak.Capacity, part(weak, solved.OfCarbonAcid), 0.01, "a trace from the air")
	tbe := describe(map[string]float64{"Tris": 89, "borate": 89}, nil, 25)
	assert.InDelta(t, 0.25*89/(89+40), part(tbe, solved.OfChemistry), 0.01, "Tris and borate")
	require.Equal(t, solved.MissingChemistry, tbe.Flags[0].Doubt)
	glycerol := describe(map[string]float64{"Tris": 50, "glycerol": 2000}, map[string]float64{"Cl-": 25}, 25)
	assert.InDelta(t, 0.5*2*0.071, part(glycerol, solved.OfSolvent), 0.01, "a seventh of it is glycerol")
	sugar := describe(map[string]float64{"Tris": 50, "glycerol": 100}, map[string]float64{"Cl-": 25}, 25)
	assert.Empty(t, sugar.Flags, "too little to speak of")
	for _, r := range []*solved.Result{dilute, hepes, pipes, phosphate, acid, tbe, glycerol} {
		sum := 0.0
		for _, p := range r.Doubts.Parts {
			sum += p.PH * p.PH
		}
		assert.InDelta(t, r.Spread, math.Sqrt(sum), 2e-3, "the parts add up")
		assert.GreaterOrEqual(t, r.Doubts.LnCapacity, 0.01)
	}
	assert.InDelta(t, math.Hypot(0.03*hepes.Strength, 0.01), hepes.Doubts.LnCapacity, 0.012, "capacity: the medium that follows")
	assert.InDelta(t, 0.011, dilute.Doubts.LnCapacity, 0.004)
}

// A constant of a complex that is off moves the pH where it gives up protons. By hand, with
// magnesium M = 9.16 mM free, as much citrate L that is not bound, which holds 1.39 protons,
// 8.80 mM of complexes without a proton, 2.01 with one and 0.14 with two: at the same pH, e
// times as much of the constant of a complex C with n protons binds n C − 17.3 C/(M + 2·10.94)
// more of these, −4.91, 0.89 and 0.20 mM. With 22.1 mM per pH and 0.1 in log β, which is the
// spread of a constant seen in a critical list, that is 0.051, 0.009 and 0.002.
func TestComplexesAreDoubted(t *testing.T) {
	strong := map[string]float64{"Na+": 12, "Cl-": 2}
	plain, err := solved.Describe(bath(t, 25, map[string]float64{"HEPES": 20, "EDTA": 1}, strong))
	require.NoError(t, err)
	assert.Zero(t, part(plain, solved.OfComplexes))
	half, err := solved.Describe(bath(t, 25, map[string]float64{"citrate": 20, "magnesium": 20}, map[string]float64{"Na+": 45, "Cl-": 40}))
	require.NoError(t, err)
	assert.InDelta(t, 0.052, part(half, solved.OfComplexes), 0.005)
}

// A complex has the coefficient of its class as any ion has: nickel with two
// citrates carries four charges, 0.20 I, and half a proton hangs on it.
func TestTheCoefficientsOfComplexesAreDoubted(t *testing.T) {
	of := func(metal string) *solved.Result {
		r, err := solved.Describe(bath(t, 25, map[string]float64{"citrate": 40, metal: 15}, map[string]float64{"Na+": 360, "Cl-": 330}))
		require.NoError(t, err)
		return r
	}
	assert.InDelta(t, 0.017, part(of("nickel"), solved.OfClass), 0.005)
	assert.Less(t, part(of("calcium"), solved.OfClass), 0.010, "one citrate, one charge")
}

// How the pH moves with temperature is as doubtful as the heats: 25 kJ/mol for
// one that is not known is 0.0147 per °C at 25 °C.
func TestUnknownHeatsAreDoubted(t *testing.T) {
	r, err := solved.Describe(bath(t, 25, map[string]float64{"ascorbate": 50}, map[string]float64{"Na+": 25}))
	require.NoError(t, err)
	assert.InDelta(t, 25e3/(8.314462618*math.Ln10*298.15*298.15), r.Doubts.PerDegree, 1e-3)
	assert.InDelta(t, r.Spread, r.Doubts.PH, 1e-15)
	known, err := solved.Describe(bath(t, 25, map[string]float64{"Tris": 50}, map[string]float64{"Cl-": 25}))
	require.NoError(t, err)
	assert.Less(t, known.Doubts.PerDegree, 0.001)
}

// A metal ion and what is known to bind it, without a constant here: it is said even
// where there is too little of it to move the pH, since what is free is wrong.
func TestMetalsThatAreBoundWithoutAConstant(t *testing.T) {
	said := func(zinc float64) bool {
		r, err := solved.Describe(bath(t, 25, map[string]float64{"Tris": 20, "DTT": 1, "zinc": zinc}, map[string]float64{"Cl-": 12}))
		require.NoError(t, err)
		for _, f := range r.Flags {
			if f.Doubt == solved.MissingChemistry {
				assert.Contains(t, f.String(), "zinc is bound by DTT")
				return true
			}
		}
		return false
	}
	assert.True(t, said(0.01))
	assert.True(t, said(1))
	assert.False(t, said(0))
	r, err := solved.Describe(bath(t, 25, map[string]float64{"Tris": 20, "DTT": 2, "zinc": 2}, map[string]float64{"Cl-": 14}))
	require.NoError(t, err)
	assert.InDelta(t, 0.15*2/(2+2), part(r, solved.OfChemistry), 0.003)
}

// A constant counts by how far it moves the pH, which does not follow a wide one along a straight
// line: the mixture is solved again with the constant one standard deviation higher.
func TestConstantsMoveThePHAllTheWay(t *testing.T) {
	of := func(logB, spread float64) *solved.Result { // three molecules of an acid have an ion in common
		s := &chem.System{Name: "an acid", Charge: 0, Steps: []chem.Step{{PK: 9, Spread: 0.02}},
			Complexes: []chem.Complex{{Ligands: 3, Protons: 2, LogB: logB, Spread: spread}}}
		r, err := solved.Describe(chem.Solution{Volume: chem.Litre, Temp: 25, Systems: []chem.SystemTotal{{System: s, Amount: 300 * chem.Millimole}}, Ions: []chem.IonTotal{{Ion: chem.Ion{Name: "Na+", Charge: 1}, Amount: 60 * chem.Millimole}}})
		require.NoError(t, err)
		return r
	}
	near := part(of(18.5, 0.02), solved.OfComplexes) / 0.02
	for _, spread := range []float64{0.1, 0.2, 0.35, 0.6} {
		moved := math.Abs(of(18.5+spread, spread).PH - of(18.5, spread).PH)
		got := part(of(18.5, spread), solved.OfComplexes)
		assert.GreaterOrEqual(t, got, 0.86*math.Max(moved, near*spread), "%g: by the capacity before it moves, which is a little less", spread)
		assert.Less(t, got, 1.02*math.Max(moved, near*spread), "%g", spread)
	}
	assert.Greater(t, part(of(18.5, 0.35), solved.OfComplexes), 1.03*0.35*near, "further than along the line")
}

// Salting-out that was not measured is as doubtful as that which was is large: of the neutral
// acids and bases with parameters of their own, log10 γ a mol/kg of NaCl or KCl is
// 2 (λ of the cation + λ of the anion)/ln 10, from −0.07 of phosphoric acid to 0.10 of carbon
// dioxide (chem/pitzer/data/activity.csv, with the sources of each). Up to an ionic strength of
// 0.1 ions of a class add nothing, so that it can be read off there.
func TestSaltingOutThatWasNotMeasured(t *testing.T) {
	text, err := os.ReadFile("../pitzer/data/activity.csv")
	require.NoError(t, err)
	rows, err := csvrows.Read(text, 0)
	require.NoError(t, err)
	lambda := map[string]map[string]float64{}
	for _, row := range rows {
		if row[0] != "lambda" || row[2] == "" {
			continue
		}
		v, err := strconv.ParseFloat(row[8], 64)
		require.NoError(t, err)
		if lambda[row[1]] == nil {
			lambda[row[1]] = map[string]float64{}
		}
		lambda[row[1]][row[2]] = v
	}
	sum, n := 0.0, 0.0
	for _, of := range lambda {
		for _, cation := range []string{"Na", "K"} {
			if l, ok := of[cation]; ok {
				k := 2 * (l + of["Cl"]) / math.Ln10
				sum, n = sum+k*k, n+1
			}
		}
	}
	require.GreaterOrEqual(t, n, 12.0)
	measured := math.Sqrt(sum / n)

	hepes, err := solved.Describe(bath(t, 25, map[string]float64{"HEPES": 20}, map[string]float64{"Na+": 100, "Cl-": 90}))
	require.NoError(t, err)
	assert.InEpsilon(t, measured, part(hepes, solved.OfClass)/hepes.Strength, 0.25)
	// Tris and its cation have been measured with sodium chloride, Tris not with perchlorate.
	tris, err := solved.Describe(bath(t, 25, map[string]float64{"Tris": 20}, map[string]float64{"Na+": 90, "ClO4-": 100}))
	require.NoError(t, err)
	assert.InEpsilon(t, measured/2, part(tris, solved.OfClass)/tris.Strength, 0.25, "half of the ions are perchlorate")
}

// What is counted and what is said, where another figure by half would count or say something else.
func TestFromWhereADoubtCounts(t *testing.T) {
	describe := func(systems, strong map[string]float64, opts ...chem.Option) *solved.Result {
		r, err := solved.Describe(bath(t, 25, systems, strong), opts...)
		require.NoError(t, err)
		return r
	}
	// The law of Davies beyond where it holds: 0.06, and 0.3 for each mol/kg more.
	davies := describe(map[string]float64{"Tris": 50}, map[string]float64{"Cl-": 525, "Na+": 500}, chem.Davies)
	assert.InDelta(t, 0.06+0.3*(davies.Strength-0.5), part(davies, solved.OfModel), 0.005)
	// Two sets of phosphate differ in full from 0.35 mol/kg on, and as I squared below.
	phosphate := describe(map[string]float64{"phosphate": 50}, map[string]float64{"Na+": 275, "Cl-": 200})
	assert.InDelta(t, 0.07*phosphate.Strength*phosphate.Strength/0.35, part(phosphate, solved.OfDispute), 0.002)
	// Those of three charges by the same from 0.1 mol/kg on, and in proportion below.
	flat := func(salt float64) float64 {
		return part(describe(map[string]float64{"phosphate": 2}, map[string]float64{"Na+": 5 + salt, "Cl-": salt}), solved.OfDispute)
	}
	assert.Greater(t, flat(90)/flat(60), 1.4, "0.095 by 0.065 mol/kg")
	assert.Less(t, flat(160)/flat(105), 1.25, "0.165 by 0.11 mol/kg")
	// A solvent is spoken of from a spread of 0.02 on: 4 % of the volume.
	said := func(glycerol float64) bool {
		return len(describe(map[string]float64{"Tris": 50, "glycerol": glycerol}, map[string]float64{"Cl-": 25}).Flags) > 0
	}
	assert.False(t, said(450), "3.2 %")
	assert.True(t, said(700), "5 %")
	// A heat that is known to 8 kJ/mol is known, and to 12 it is not.
	for spread, unknown := range map[float64]bool{8: false, 12: true} {
		sys := &chem.System{Name: "made up", Steps: []chem.Step{{PK: 7, DH: 20, SlopeSpread: spread}}, Forms: []chem.Form{{Name: "acid"}, {Name: "anion", Ion: "acetate"}}}
		r, err := solved.Describe(chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 50}, chem.Solution{Systems: []chem.SystemTotal{{System: sys, Amount: 0.05}}, Ions: []chem.IonTotal{{Ion: chem.Ion{Name: "Na+", Charge: 1}, Amount: 0.025}}, Temp: 50}))
		require.NoError(t, err)
		got := false
		for _, f := range r.Flags {
			got = got || f.Doubt == solved.HeatUnknown
		}
		assert.Equal(t, unknown, got, "%g kJ/mol", spread)
	}
}

// What is shown of a pH beside a pK is how well publications agree on it, in dilute solutions at that pK
// where nothing else is in doubt: 0.1 where two are apart by 0.2 (POPSO, 7.80 of Roy 2014 and about 8.0 of
// Goldberg 2002) or hardly any second one agrees (L-histidine, 2 of 6), 0.15 where none of three does
// (pyrophosphate), 0.05 where there is one alone, from memory (Bis-Tris propane), 0.02 where half of them
// are within 0.03, which as a window is 0.03/√3 (tartrate). The grades are our own choice.
func TestHowWellAPKIsKnownIsShown(t *testing.T) {
	for mmol, want := range map[string]float64{
		"POPSO 1; NaOH 1.5": 0.2 / 2, "L-histidine 1; NaOH 0.5": 0.1, "tetrasodium pyrophosphate 1; HCl 0.5": 0.15, "Bis-Tris propane 1; HCl 0.5": 0.05, "tartaric acid 1; NaOH 1.5": 0.03 / math.Sqrt(3),
	} {
		s := mixed(t, chem.Solution{Volume: chem.Litre, Temp: 25}, mmol)
		r, err := solved.Describe(s)
		require.NoError(t, err)
		assert.InEpsilon(t, want, part(r, solved.OfConstants), 0.25, mmol)
	}
}

// The same of heats of ionization: 0.5 kJ/mol in a critical review that was at hand (imidazole), 1 from
// memory (barbital), 3 where the split between two steps is unsettled (L-histidine, whose pH may move by
// 0.04 over 23 °C), 8 where it was estimated from a dpKa/dT in a list of a maker (Bis-Tris propane). Of
// dpH/dT each is 1000/(R T² ln 10), as d pK/dT = −ΔH/(R T² ln 10). The grades are our own choice.
func TestHowWellAHeatIsKnownIsShown(t *testing.T) {
	for mmol, kJ := range map[string]float64{"imidazole 1; HCl 0.5": 0.5, "barbital sodium 1; HCl 0.5": 1, "L-histidine 1; NaOH 0.5": 3, "Bis-Tris propane 1; HCl 0.5": 8} {
		r, err := solved.Describe(mixed(t, chem.Solution{Volume: chem.Litre, Temp: 25}, mmol))
		require.NoError(t, err)
		assert.InEpsilon(t, 1000*kJ/(8.314*298.15*298.15*math.Ln10), r.Doubts.PerDegree, 0.25, mmol)
	}
}
