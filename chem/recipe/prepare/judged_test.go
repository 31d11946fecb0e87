package prepare_test

import (
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is asked of a plan, and what else is in it, per litre in use.
func demanded(t *testing.T, name string, ph, molar, litres float64, with string) buffer.Demand {
	t.Helper()
	d := buffer.NewDemand(ph)
	d.Buffer, d.Molar, d.Volume = name, chem.Molarity(molar), chem.Volume(litres)
	if with != "" {
		r, err := written.Read(with, d.Volume)
		require.NoError(t, err)
		d.With = r.Ingredients()
	}
	return d
}

// Few laboratories have monosodium citrate or the monosodium salt of PIPES in a jar (common
// practice, no source), and who asked for KOH does not want sodium in the other way either.
func TestTheJarsThatLaboratoriesHave(t *testing.T) {
	assert.Equal(t, "citric acid", draft(t, demanded(t, "citrate", 5, 0.05, 1, "")).Measures[0].Reagent.Name)
	d := demanded(t, "PIPES", 6.8, 0.08, 1, "")
	d.Base = "KOH"
	x := draft(t, d)
	assert.Equal(t, "PIPES", x.Measures[0].Reagent.Name)
	require.NotNil(t, x.Other)
	for _, m := range x.Other.Measures {
		assert.NotContains(t, m.Reagent.Name, "sodium", "it was to be potassium")
	}
}

// Ionic strength is per litre, as recipes count it: by hand 6 M of a salt of two single
// charges and 0.026 M of Tris hydrochloride, in 0.56 kg of water a litre.
func TestIonicStrengthIsPerLitre(t *testing.T) {
	x := draft(t, demanded(t, "Tris", 8, 0.05, 1, "guanidine hydrochloride 6 M"))
	assert.InDelta(t, 6.03, x.InUse.MolarStrength(), 0.03)
	assert.Greater(t, x.InUse.Strength, 10.0, "mol/kg")
	// Na2HPO4 and NaH2PO4, 3 and 1 for each mole: by hand from the two masses.
	d := demanded(t, "phosphate", 7.4, 0.2, 1, "")
	d.Way = buffer.BySalts
	x = draft(t, d)
	acid, base := x.Measures[0].Amount.Moles(), x.Measures[1].Amount.Moles()
	assert.InEpsilon(t, acid+3*base, x.InUse.MolarStrength(), 2e-3)
}

// 50 mL of NaOH 0.5 M take 1.00 g of the solid: no bottle of 1 M is made for them.
func TestOneGramIsWeighed(t *testing.T) {
	made := 0
	for _, l := range draft(t, demanded(t, "Tris", 8, 0.02, 0.25, "")).Dilutions {
		if l.Reagent.Name == "sodium hydroxide" {
			made++
			assert.InDelta(t, 0.5, l.Molar, 1e-9)
			assert.InDelta(t, 1, l.Mass.Grams(), 0.001)
		}
	}
	assert.Equal(t, 1, made)
}

// Urea 8 M cools by some 31 K (15.3 kJ/mol, 480 g in 440 g of water: heats.csv) and then no
// longer dissolves altogether: 109 g in 100 g of water, of which 78 at 5 °C and less below.
// Sodium phosphate 1 M at pH 7.4 has 0.93 mol/kg of Na2HPO4, 13 g in 100 g of water, where
// 7.8 g dissolve at 20 °C (handbook); and the coach gives no advice beyond 3 mol/kg.
func TestWhatIsAtTheEdgeOfDissolving(t *testing.T) {
	x := draft(t, demanded(t, "Tris", 8, 0.02, 1, "urea 8 M"))
	text := sheetOf(t, x)
	assert.True(t, x.Chilled)
	assert.Contains(t, text, "dissolves only then")
	x = draft(t, demanded(t, "Tris", 8, 0.02, 1, "urea 3 M"))
	text = sheetOf(t, x)
	assert.False(t, x.Chilled)
	assert.NotContains(t, text, "dissolves only then")
	d := demanded(t, "phosphate", 7.4, 1, 1, "")
	d.Way = buffer.BySalts
	x = draft(t, d)
	text = sheetOf(t, x)
	assert.Regexp(t, `below about 2[45] °C disodium phosphate crystallises out`, x.Cold)
	assert.Contains(t, text, "Correct if need be by hand")
	assert.NotContains(t, text, "if need be: titrate")
	d.Molar = 0.3
	x = draft(t, d)
	text = sheetOf(t, x)
	assert.Contains(t, x.Cold, "at 4 °C disodium phosphate", "and not in a cool room: 3.9 g in 100 g")
	assert.Contains(t, text, "if need be: titrate")
}

// Glycine in the running buffer of gels does most of the work, and the sentence says so.
func TestWhatGivesTheCapacity(t *testing.T) {
	why := func(d buffer.Demand) string {
		list, err := buffer.Rank(d)
		require.NoError(t, err)
		var b strings.Builder
		for _, r := range list[0].Why {
			b.WriteString(r.Words + "\n")
		}
		return b.String()
	}
	assert.Contains(t, why(demanded(t, "Tris", 8.3, 0.025, 1, "glycine 192 mM")), "with all that is in it, 2")
	assert.Contains(t, why(demanded(t, "Tris", 8.3, 0.025, 1, "")), "the buffer itself gives")
	assert.NotContains(t, why(demanded(t, "imidazole", 7.5, 0.1, 1, "")), "open beaker", "imidazole boils at 256 °C")
}

// Surface sea water is 0.6 to 0.8 powers of ten above the saturation of calcite and stays
// clear for years, and Krebs' saline 0.7 (from memory). Ten times the calcium does not.
func TestWhatStaysClearAboveSaturation(t *testing.T) {
	clear := func(text string) error {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err)
		s := chem.Solution{Temp: 25}
		for _, x := range r.Ingredients() {
			s = chem.Mix(s, x.Reagent.Dissolved(x.Amount).At(25))
		}
		res, err := solved.Describe(s.MadeUpTo(chem.Litre))
		require.NoError(t, err)
		return table.CheckClear(res)
	}
	require.NoError(t, clear("NaCl 410 mM, Na2SO4 28 mM, MgCl2 53 mM, CaCl2 10.3 mM, KCl 9 mM, NaHCO3 1.8 mM, sodium carbonate 0.25 mM"))
	require.NoError(t, clear("NaCl 118 mM, KCl 4.7 mM, CaCl2 2.5 mM, MgSO4 1.2 mM, NaHCO3 25 mM, KH2PO4 1.2 mM"))
	require.ErrorContains(t, clear("NaCl 118 mM, KCl 4.7 mM, CaCl2 25 mM, NaHCO3 25 mM"), "calcite")
}

// Who asked for acetic acid or KOH is told that the two salts bring chloride or sodium.
func TestTheOtherWayTellsWhatItBrings(t *testing.T) {
	of := func(d buffer.Demand) []string { return draft(t, d).Other.Strangers(d) }
	tris := demanded(t, "Tris", 8.6, 0.05, 1, "")
	assert.Empty(t, of(tris))
	tris.Acid = "acetic acid"
	assert.Equal(t, []string{"Cl-"}, of(tris))
	glycine := demanded(t, "glycine", 9, 0.05, 1, "")
	assert.Empty(t, of(glycine))
	glycine.Base = "KOH"
	assert.Equal(t, []string{"Na+"}, of(glycine))
	phosphate := demanded(t, "phosphate", 7, 0.05, 1, "")
	phosphate.Base = "KOH"
	assert.Empty(t, of(phosphate))
}

// EDTA 0.5 M at pH 8.0 is a stock solution that every laboratory makes (common practice), and
// no buffer: named, it is planned, and what little it holds is said. With one mole of base a
// mole it stands at 8.0 (common practice), half way between its last two pK there; the first
// of them is 6.4 by what was measured in as much sodium chloride (Mizera et al. 1999).
func TestAStockOfWhatIsNoBuffer(t *testing.T) {
	d := demanded(t, "EDTA", 8, 0.5, 1, "")
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	assert.InDelta(t, 2*8.0-6.4, list[0].PK, 0.3)
	x := draft(t, d)
	assert.InDelta(t, 186.1, x.Measures[0].Mass.Grams(), 0.1, "Na2H2EDTA·2H2O, 372.24 g/mol")
	d.Buffer = "acetate"
	_, err = buffer.Rank(d)
	require.ErrorContains(t, err, "hardly buffer")
}

// A millilitre is told to be too little for an electrode, and one drop is one.
func TestABatchOfNextToNothing(t *testing.T) {
	notes := func(litres float64) string {
		return strings.Join(draft(t, demanded(t, "Tris", 8, 0.05, litres, "")).Notes, " ")
	}
	assert.Contains(t, notes(0.001), "make 10 mL and take what is wanted")
	assert.NotContains(t, notes(0.007), "take what is wanted")
	assert.NotContains(t, sheetOf(t, draft(t, demanded(t, "Tris", 8, 0.05, 0.001, ""))), "1 drops")
}

// What is measured with a pipette is 1 mL and more, what is weighed 1 g: a weak titrant is made from one
// of 1 M, where 0.83 mL of HCl 12.1 M or 0.56 g of KOH would do by themselves, and from that at once
// where 1.00 mL of it does (common practice of diluting in steps, no source).
func TestWeakTitrantsAreMadeInSteps(t *testing.T) {
	d := demanded(t, "HEPES", 7.4, 0.01, 0.2, "")
	d.Base = "KOH"
	from := map[string]string{}
	for _, l := range draft(t, d).Dilutions {
		from[l.Name()] = l.From
	}
	assert.Equal(t, "HCl 1 M", from["HCl 0.2 M"], "12.1 M: 50 × 0.2 / 12.1 is 0.83 mL")
	assert.Equal(t, "KOH 1 M", from["KOH 0.2 M"], "56.1 × 0.2 × 0.05 is 0.56 g")
	d = demanded(t, "HEPES", 7.4, 0.002, 0.1, "")
	clear(from)
	for _, l := range draft(t, d).Dilutions {
		from[l.Name()] = l.From
		if l.Name() == "HCl 0.02 M" {
			assert.InDelta(t, 1, l.Take.Millilitres(), 1e-9)
		}
	}
	assert.Equal(t, "HCl 1 M", from["HCl 0.02 M"], from)
}

// A second bottle is asked for where the drops of the weak one take more than half of the room under the
// mark and are more than anybody counts at ease, or where they do not fit at all: 2 mM of Tris in 20 mL
// take 0.56 × 2 × 20 µmol of HCl to pH 8, 2.2 mL of 0.01 M and 44 drops with 4 mL of room; 3 mM in 10 mL
// 1.7 mL, 33 drops, with 2 mL and with 0.5 mL of room.
func TestWhenASecondBottleIsAskedFor(t *testing.T) {
	for _, tc := range []struct {
		molar, litres, fill, tol float64
		bottles                  int
	}{{0.002, 0.02, 0.8, 0.05, 1}, {0.003, 0.01, 0.8, 0.06, 0}, {0.003, 0.01, 0.95, 0.06, 1}} {
		d := demanded(t, "Tris", 8, tc.molar, tc.litres, "")
		d.Fill, d.Tolerance = tc.fill, tc.tol
		bulk := 0
		for _, c := range draft(t, d).Titrants {
			if c.Role == prepare.Coarse {
				bulk++
			}
		}
		assert.Equal(t, tc.bottles, bulk, "%v", tc)
	}
}

// What is diluted or dissolved goes into half to three quarters of its water (common practice, no
// source), and a titrant weaker than 0.01 M is not made, which takes up carbon dioxide while it stands: a
// drop of it moves 3 mM of Tris in 10 mL by 0.5 µmol of 17 µmol per pH, 0.029, and 5 mM by 0.02.
func TestHowTitrantsAreMade(t *testing.T) {
	for _, l := range draft(t, demanded(t, "HEPES", 7.4, 0.01, 0.2, "")).Dilutions {
		assert.Greater(t, l.First/l.Volume, chem.Volume(0.5), l.Name())
		assert.Less(t, l.First/l.Volume, chem.Volume(0.75), l.Name())
	}
	half := 0
	for _, l := range draft(t, demanded(t, "Tris", 8, 0.02, 0.05, "")).Dilutions {
		if l.Take > 0.4*l.Volume {
			half++
		}
		assert.Less(t, l.First+l.Take, l.Volume, "%s: there is room to make it up", l.Name())
	}
	assert.Positive(t, half, "0.1 M from 0.2 M")
	d := demanded(t, "Tris", 8, 0.003, 0.01, "")
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	_, err = prepare.For(d, list[0])
	require.ErrorContains(t, err, "of the weakest titrant, 0.01 M, moves the pH by 0.029")
	d.Molar = 0.005
	for _, c := range draft(t, d).Titrants {
		assert.GreaterOrEqual(t, c.Molar, 0.01)
	}
}

// Below 50 mg a stock solution is better than a balance of 0.1 mg a division in ordinary hands (common
// practice, no source): Tris, 121.1 g/mol, 0.33 mmol are 40 mg and 0.5 mmol 61 mg.
func TestWhatIsHardToWeigh(t *testing.T) {
	for mmol, hard := range map[float64]bool{0.33: true, 0.5: false} {
		text := sheetOf(t, draft(t, demanded(t, "Tris", 8, mmol/100, 0.1, "")))
		assert.Equal(t, hard, strings.Contains(text, "So little is hard to weigh"), "%g mmol", mmol)
	}
}

// A third standard is named where the aim is within 0.2 of one of two (common practice: enclose the aim).
func TestWhenAThirdStandardIsNamed(t *testing.T) {
	for ph, near := range map[float64]bool{7.15: true, 7.26: false} {
		assert.Equal(t, near, strings.Contains(sheetOf(t, draft(t, demanded(t, "HEPES", ph, 0.05, 1, ""))), "The aim is close to 7.00"), "pH %g", ph)
	}
}

// What the solids take up is said from a hundredth of the beaker on: Tris takes 0.09 L/mol (121.1 g/mol,
// 1.33 g/mL), 0.6 % of 0.8 L at 50 mM and 1.15 % at 100 mM.
func TestFromWhenSolidsTakeRoom(t *testing.T) {
	for molar, said := range map[float64]bool{0.05: false, 0.105: true} {
		assert.Equal(t, said, strings.Contains(sheetOf(t, draft(t, demanded(t, "Tris", 8, molar, 1, ""))), "the solids take up"), "%g M", molar)
	}
}
