package prepare_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The heat of dissolving, by hand from −44.5 kJ/mol (Parker, NSRDS-NBS 2, 1965):
// 1 mol of sodium hydroxide in a litre makes 10.2 K, 2.5 mol in 150 mL more than
// the 117 K that a reviewer worked out for water alone would leave to boil.
func TestHeatOfDissolving(t *testing.T) {
	naoh, err := table.ByAmount("NaOH")
	require.NoError(t, err)
	k, ok := prepare.Rise(naoh, 1, 1)
	require.True(t, ok)
	assert.InDelta(t, 10.2, k, 0.3)
	k, _ = prepare.Rise(naoh, 2.5, 0.15)
	assert.Greater(t, k, 100.0)
	kcl, err := table.ByAmount("NH4Cl")
	require.NoError(t, err)
	k, _ = prepare.Rise(kcl, 1, 1)
	assert.Less(t, k, -3.0, "ammonium chloride cools")
	_, ok = prepare.Rise(table.Reagent{}, 1, 1)
	assert.False(t, ok)
}

// sheetOf is a whole sheet as one text.
func sheetOf(t *testing.T, x *prepare.Draft) string {
	t.Helper()
	var b strings.Builder
	for _, s := range x.Sheet(prepare.Doing{Calibrate: "calibrate", Titrate: "titrate"}) {
		fmt.Fprintln(&b, s.Text, strings.Join(s.Details, " "), strings.Join(s.Cautions, " "))
	}
	return b.String()
}

// A sheet warns as hot as it gets: what boils, what goes past 60 °C, what gets
// warm, and what only lies in between.
func TestSheetsWarnOfHeat(t *testing.T) {
	for _, tc := range []struct {
		name      string
		ph, molar float64
		ml        float64
		want, not string
	}{
		{"glycine", 9.9, 2, 1000, "It would boil and spit", "gets warm, by 60"},
		{"HEPES", 7.5, 1, 1000, "hotter than 60 °C", "would boil"},
		{"HEPES", 7.4, 0.05, 500, "It warms", "hotter than 60"},
		{"Tris hydrochloride", 8, 0.01, 100, "into water, never water into base", "hotter than 60"},
	} {
		d := buffer.NewDemand(tc.ph)
		d.Buffer, d.Molar, d.Volume, d.Anyway = tc.name, chem.Molarity(tc.molar), chem.Volume(tc.ml)*chem.Millilitre, true
		text := sheetOf(t, draft(t, d))
		assert.Contains(t, text, tc.want, tc.name)
		assert.NotContains(t, text, tc.not, tc.name)
	}
}

// What is weighed has room: the water to start with and what is left under the
// mark are right, where a sheet without volumes overflowed.
func TestNothingOverflows(t *testing.T) {
	for _, tc := range []struct {
		name      string
		ph, molar float64
	}{{"HEPES", 7.5, 1}, {"Tris", 8, 2}, {"sodium acetate", 5.2, 3}, {"MES", 6.1, 1}} {
		d := buffer.NewDemand(tc.ph)
		d.Buffer, d.Molar, d.Volume = tc.name, chem.Molarity(tc.molar), 1
		x := draft(t, d)
		var solids float64 // mL, from the densities of the crystals' solutions: 0.55 to 0.8 mL/g
		for _, m := range x.Measures {
			solids += 0.55 * m.Mass.Grams() * float64(table.DryMass(m.Reagent)/m.Reagent.MolarMass)
		}
		all := x.Water.Millilitres() + solids + x.Titrants[0].Volume.Millilitres()
		assert.Less(t, all, 1000.0, "%s: %.0f + %.0f + %.0f", tc.name, x.Water.Millilitres(), solids, x.Titrants[0].Volume.Millilitres())
		assert.LessOrEqual(t, (x.Setup.Start + x.Titrants[0].Volume).Millilitres(), 1000.0, tc.name)
		assert.Less(t, x.Water, x.Setup.Start, tc.name)
	}
}

// What does not dissolve at once is said with what brings it in, and what never
// does is refused (handbook solubilities: barbital 7 g/L, PIPES about 1 g/L).
func TestWhatDissolvesWhen(t *testing.T) {
	d := buffer.NewDemand(8.6)
	d.Buffer, d.Molar, d.Volume = "barbital", 0.075, 1
	x := draft(t, d)
	require.Len(t, x.Slow, 1)
	assert.Equal(t, "barbital", x.Slow[0].Reagent.Name)
	// 13.8 g in 0.8 L, of which 5.6 g dissolve: six tenths have to be neutralised
	// of the four fifths that are so in the end.
	assert.InDelta(t, 0.6, x.Slow[0].Part, 0.2)
	assert.Contains(t, sheetOf(t, x), "does not dissolve at once")
	d = buffer.NewDemand(6.8)
	d.Buffer, d.Have = "PIPES", []string{"PIPES"}
	x = draft(t, d)
	require.Len(t, x.Slow, 1)
	// The second proton of the acid has to go: two thirds of one and a half.
	assert.InDelta(t, 0.67, x.Slow[0].Part, 0.12)
	d.Buffer, d.Molar, d.Have = "ACES", 1, nil
	list, err := buffer.Rank(d)
	if err == nil {
		_, err = prepare.For(d, list[0])
	}
	require.ErrorContains(t, err, "dissolves")
	d = buffer.NewDemand(7.4)
	d.Buffer, d.Molar, d.Volume = "phosphate", 0.4, 0.5
	d.Have = []string{"Na2HPO4 anhydrous"}
	x = draft(t, d)
	assert.Contains(t, x.Cold, "at 4 °C", "sodium phosphate of 0.4 M comes out in the cold")
	assert.Contains(t, sheetOf(t, x), "room temperature")
}

// Titrants that a person has are used: one bottle for all where it is fine
// enough and fits, the strong one for the bulk addition where it does not.
func TestTheBottleAtHandIsUsed(t *testing.T) {
	naoh, err := table.ByAmount("NaOH")
	require.NoError(t, err)
	for _, tc := range []struct {
		bottle, molar float64
		want          []float64 // of base, in order
	}{{1, 0.05, []float64{1}}, {0.5, 0.02, []float64{0.5}}, {2, 0.5, []float64{2}}, {1, 1, []float64{10, 1}}} {
		d := buffer.NewDemand(7.4)
		d.Buffer, d.Molar = "HEPES", chem.Molarity(tc.molar)
		d.Bottles = []buffer.Bottle{{Reagent: naoh, Molar: chem.Molarity(tc.bottle)}}
		x := draft(t, d)
		var got []float64
		for _, c := range x.Titrants {
			if c.Role != prepare.Back {
				got = append(got, c.Molar)
			}
		}
		if tc.molar == 1 { // what is at hand would not fit: said
			assert.Greater(t, got[0], 1.0)
			assert.Contains(t, x.Titrants[0].Why, "would take")
			continue
		}
		assert.Equal(t, tc.want, got, "%g M at hand, %g M of buffer", tc.bottle, tc.molar)
		assert.True(t, x.Titrants[0].AtHand)
	}
}

// The weights of the ranking where they can be read off a reason.
func TestWeightsOfTheRanking(t *testing.T) {
	points := func(d buffer.Demand, system, words string) (buffer.Candidate, float64) {
		list, err := buffer.Rank(d)
		require.NoError(t, err)
		for _, c := range list {
			if c.System.Name != system {
				continue
			}
			for _, r := range c.Why {
				if strings.Contains(r.Words, words) {
					return c, r.Points
				}
			}
			return c, 0
		}
		t.Fatalf("no %s at pH %g", system, d.PH)
		return buffer.Candidate{}, 0
	}
	d := buffer.NewDemand(8)
	c, x := points(d, "Tris", "per °C")
	assert.InDelta(t, 6*0.028, x, 0.02)
	d.Steady = true
	_, x = points(d, "Tris", "per °C")
	assert.InDelta(t, 80*0.028, x, 0.25)
	assert.InDelta(t, c.Distance*c.Distance, 0.13*0.13, 0.02)
	d = buffer.NewDemand(7.5)
	_, x = points(d, "MOPS", "no more than 7 of 671 counted recipes") // the last that is listed; 422 the first
	assert.InDelta(t, 0.5*(1-math.Sqrt(3.5/422)), x, 1e-9, "not on the list, and at hand")
	_, x = points(d, "POPSO", "counted recipes")
	assert.InDelta(t, 0.5, x, 1e-9, "not on the list, and seldom at hand")
	_, x = points(d, "TES", "seldom in stock")
	assert.InDelta(t, 0.6, x, 1e-9)
	_, x = points(d, "POPSO", "hardly ever in stock")
	assert.InDelta(t, 1.2, x, 1e-9)
	d = buffer.NewDemand(6)
	_, x = points(d, "carbonate", "leaves an open beaker")
	assert.Greater(t, x, 1.2, "most of it is carbon dioxide")
	assert.Less(t, x, 4.0)
	_, x = points(d, "carbonate", "in which it is taken")
	assert.Equal(t, 3.0, x)
	d.Avoid = []table.Property{table.Metals}
	_, x = points(d, "citrate", "metals:")
	assert.InDelta(t, 3, x, 1e-9)
	_, x = points(d, "MES", "metals")
	assert.Less(t, x, 0.5)
	d.Avoid = nil
	r, err := written.Read("MgCl2 2 mM", d.Volume)
	require.NoError(t, err)
	d.With = r.Ingredients()
	_, x = points(d, "citrate", "of the magnesium")
	assert.InDelta(t, 2, x, 0.3, "it takes nearly all")
}

// The rest of the weights, each by what its reason says of the candidate.
func TestSmallWeightsOfTheRanking(t *testing.T) {
	const (
		slight, spread, doubt, outside, gas, binds, salty, fluid = 0.4, 1.0, 0.15, 1.0, 4.0, 1.5, 0.06, 0.2
		littleGas                                                = 0.25 * gas
	)
	said := map[string]int{}
	part := regexp.MustCompile(`^([0-9.]+) (%|outside)`)
	look := func(d buffer.Demand) {
		list, err := buffer.Rank(d)
		require.NoError(t, err)
		for _, c := range list {
			for _, r := range c.Why {
				n := math.NaN()
				if m := part.FindStringSubmatch(r.Words); m != nil {
					n, err = strconv.ParseFloat(m[1], 64)
					require.NoError(t, err)
				}
				name := fmt.Sprintf("%s at pH %g: %s", c.System.Name, d.PH, r.Words)
				switch {
				case strings.Contains(r.Words, ", a little: "):
					assert.InEpsilon(t, slight, r.Points, 1e-9, name)
					said["slight"]++
				case strings.HasPrefix(r.Words, "predicted to"):
					assert.InEpsilon(t, spread*c.Spread, r.Points, 1e-9, name)
					said["spread"]++
				case strings.Contains(r.Words, "is unverified") && r.Points > 0:
					assert.InEpsilon(t, doubt, r.Points, 1e-9, name)
					said["doubt"]++
				case strings.Contains(r.Words, "outside the pH") && r.Points < 3:
					assert.InDelta(t, outside*n, r.Points, 0.051, name)
					said["outside"]++
				case strings.Contains(r.Words, "leaves an open beaker"):
					want := gas
					if x, _ := table.TraitOf(c.System.Name, table.Volatile); x.Grade == table.Slight || c.System.Steps[0].PK < 5 {
						want = littleGas
						said["little gas"]++
					}
					assert.InDelta(t, want*n*n/1e4, r.Points, 0.02*want, name)
					said["gas"]++
				case strings.HasPrefix(r.Words, "binds "):
					assert.InEpsilon(t, binds, r.Points, 1e-9, name)
					said["binds"]++
				case strings.HasPrefix(r.Words, "ionic strength"):
					assert.InDelta(t, salty*math.Max(0, c.PerLitre/float64(d.Molar)-1), r.Points, 1e-9, name)
					said["salty"]++
				case strings.Contains(r.Words, "sold as a solution"):
					assert.InEpsilon(t, fluid, r.Points, 1e-9, name)
					said["fluid"]++
				}
			}
		}
	}
	for _, ph := range []float64{2.2, 4.6, 6, 7.4, 9.3, 10.5} {
		d := buffer.NewDemand(ph)
		d.Anyway = true
		look(d)
		d.Avoid = []table.Property{table.Metals}
		look(d)
	}
	d := buffer.NewDemand(9.3)
	d.Have = []string{"ammonia"}
	look(d)
	d = buffer.NewDemand(7.5)
	r, err := written.Read("ZnCl2 0.01 mM", d.Volume)
	require.NoError(t, err)
	d.With = r.Ingredients()
	look(d)
	for _, what := range []string{"slight", "spread", "doubt", "outside", "gas", "little gas", "binds", "salty", "fluid"} {
		assert.Positive(t, said[what], what)
	}
}

// Two salts that are weighed to 1.5 % each move the pH by 0.015 √2/ln 10 of a single pK, wherever
// between the two it is; and what the model does not know comes on top.
func TestTheSpreadOfTwoSalts(t *testing.T) {
	d := demanded(t, "Tris", 8, 0.05, 1, "")
	d.Way = buffer.BySalts
	x := draft(t, d)
	assert.InDelta(t, math.Hypot(x.InUse.Spread, 0.015*math.Sqrt2/math.Ln10), x.Spread, 0.001)
}

// Formic and lactic acid are sold with water in them: the mass is that of the jar, as the volume
// is. By hand: 20 mmol of 46.03 g/mol are 0.9205 g, in 90 % of it 1.023 g, and 0.85 mL of 1.20 g/mL.
func TestALiquidWithWaterInItIsWeighedAsItIs(t *testing.T) {
	x := draft(t, demanded(t, "formate", 3.5, 0.02, 1, ""))
	m := x.Measures[0]
	require.Equal(t, "formic acid", m.Reagent.Name)
	assert.InDelta(t, 1.023, m.Mass.Grams(), 0.001)
	assert.InDelta(t, m.Mass.Grams()/1.20, m.Volume.Millilitres(), 0.01)
	require.NotNil(t, x.Plan.Weighed[0].Grams)
	assert.InDelta(t, 90, *x.Plan.Weighed[0].PurityPct, 1e-9)
	assert.InDelta(t, 20, x.Setup.Weighed[0].Amount.Millimoles(), 0.01)
	acetic := draft(t, demanded(t, "acetate", 4.5, 0.02, 1, ""))
	assert.InDelta(t, 0.02*60.05, acetic.Measures[0].Mass.Grams(), 0.001, "as good as pure")
}
