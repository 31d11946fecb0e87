package recipe_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
)

// What a plan leaves out is taken as its documentation says: 20 drops to the mL (USP <1101>), and
// choices of this project, each where it can be read off.
func TestTheFiguresOfAPlan(t *testing.T) {
	of := func(change func(*recipe.Plan)) *recipe.Setup {
		plan := hepes()
		plan.Target.Tolerance, plan.Titrants[0].DropUL = nil, nil
		change(&plan)
		s, err := recipe.Compile(plan)
		require.NoError(t, err)
		return s
	}
	s := of(func(*recipe.Plan) {})
	assert.InEpsilon(t, 0.05, s.Tolerance, 1e-9)
	assert.InEpsilon(t, float64(50*chem.Microlitre), float64(s.Stocks[0].Drop), 1e-9)
	assert.InEpsilon(t, 0.15, s.Stocks[0].DropSD, 1e-9)
	assert.InEpsilon(t, 0.04, s.Stocks[0].MolarSD, 1e-9)
	s = of(func(q *recipe.Plan) { q.Titrants[0].DropUL = p(40) })
	assert.InEpsilon(t, 0.10, s.Stocks[0].DropSD, 1e-9, "measured by its owner")
	for by, sd := range map[string]float64{"pipette": 0.01, "burette": 0.005} {
		s = of(func(q *recipe.Plan) { q.Titrants[0].By = by })
		assert.InEpsilon(t, float64(0.05*chem.Millilitre), float64(s.Stocks[0].Drop), 1e-9)
		assert.InEpsilon(t, sd, s.Stocks[0].DropSD, 1e-9)
	}
	plan := hepes()
	plan.Target.Dilute = p(101)
	_, err := recipe.Compile(plan)
	require.ErrorContains(t, err, "1–100")
	plan.Target.Dilute = p(99)
	if _, err = recipe.Compile(plan); err != nil {
		assert.NotContains(t, err.Error(), "outside 1–")
	}
	d, err := recipe.MeasureDrop(20, []float64{1, 1.001, 0.999}, 1)
	require.NoError(t, err)
	assert.InEpsilon(t, 5.0, d.SDPct, 1e-9, "however well three weighings agree")
}

// How likely each gross mistake is before any reading. No figures were found: a hundredth for
// what happens at every bench, less for what is rarer; nine plans in ten are without.
func TestTheFiguresOfMistakes(t *testing.T) {
	s, err := recipe.Compile(hepes())
	require.NoError(t, err)
	b, err := s.Bench(25)
	require.NoError(t, err)
	prior, sum := map[string]float64{}, 0.0
	for _, m := range b.Mistakes {
		prior[m.Code] = m.Prior
		sum += m.Prior
		if m.Code == "other_form:HEPES sodium salt" {
			assert.InEpsilon(t, 0.12, m.AmountSD, 1e-9, "as mass or as amount")
		}
	}
	for code, want := range map[string]float64{
		"other_form:HEPES sodium salt": 0.010, "amount:0.5": 0.008, "amount:1.5": 0.008, "amount:2": 0.004,
		"stock:NaOH 1 M:2": 0.004, "stock:NaOH 1 M:0.5": 0.006, "stock:NaOH 1 M:10": 0.0004, "stock:NaOH 1 M:0.1": 0.006,
		"kind:NaOH 1 M": 0.004, "electrode": 0.004, recipe.Absent: 1e-5,
	} {
		assert.InEpsilon(t, want, prior[code], 1e-9, code)
	}
	assert.Less(t, sum, 0.1)
}

// What a determination is told where its plan says nothing: a burette of divisions of 0.1 mL is
// read to a third of half a division, and one of class A is off by 0.1 % of a good filling
// (ISO 385, from a summary); the rest are choices of this project.
func TestTheFiguresOfADetermination(t *testing.T) {
	guide := func(f recipe.Find, weighed ...recipe.Weighed) (*find.Bench, *recipe.Setup) {
		t.Helper()
		s, err := recipe.Compile(recipe.Plan{Name: "figures", Find: &f, Beaker: recipe.Beaker{StartML: p(60), FinalML: p(160)}, Weighed: weighed,
			Titrants: []recipe.Titrant{{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: p(0.1), By: "burette"}}})
		require.NoError(t, err)
		b, err := s.Bench(25)
		require.NoError(t, err)
		return b.Guide.(*find.Bench), s
	}
	g, s := guide(recipe.Find{What: "strength"}, recipe.Weighed{Reagent: "potassium hydrogen phthalate", Grams: p(0.5106)})
	assert.InEpsilon(t, 0.002, g.Goal, 1e-9)
	assert.InEpsilon(t, 0.5, s.Tolerance, 1e-9)
	assert.InEpsilon(t, math.Hypot(0.2/510.6, 0.0005), g.Parts[0].SD, 1e-3, "0.2 mg of the balance and 0.05 % of the standard")
	assert.InEpsilon(t, 0.2/510.6, g.Parts[0].Causes[0].SD, 1e-3)
	assert.InEpsilon(t, 0.0005, g.Parts[0].Causes[1].SD, 1e-9)
	st := g.Stocks[0]
	assert.InEpsilon(t, float64(0.015*chem.Millilitre), float64(st.ReadSD), 1e-9)
	assert.InEpsilon(t, 0.001, st.SizeSD, 1e-9)
	assert.InEpsilon(t, 0.10, st.StrengthSD, 1e-9)
	assert.InEpsilon(t, 0.005, st.Carbonate, 1e-9)
	assert.InEpsilon(t, 0.005, st.CarbonSD, 1e-9)
	assert.InEpsilon(t, 0.03, g.ShiftSD, 1e-9)
	assert.InEpsilon(t, 0.01, g.SlopeSD, 1e-9)

	g, _ = guide(recipe.Find{What: "amount", SampleML: p(25), BlankML: p(0.05)}, recipe.Weighed{Reagent: "HCl", MMol: p(2.5)})
	assert.InEpsilon(t, 0.008, g.BendSD, 1e-9, "of a strong acid, the scale of the meter alone")
	assert.InEpsilon(t, math.Log(1.6), g.Parts[0].SD, 1e-9)
	assert.InEpsilon(t, 0.001, g.SampleSD, 1e-9)
	assert.InEpsilon(t, 0.01e-3, g.BlankSD, 1e-9)

	// Of phosphate the second step, from one charge to two, is the last below pH 11.
	g, _ = guide(recipe.Find{What: "amount"}, recipe.Weighed{Reagent: "KH2PO4", MMol: p(2.5)})
	assert.InEpsilon(t, 0.01*(4-1), g.BendSD, 1e-9)
	second := g.PKs[1]
	assert.InDelta(t, math.Hypot(0.01, 0.02*(4-1)), second.SD, 0.003)

	g, _ = guide(recipe.Find{What: "pk"}, recipe.Weighed{Reagent: "unknown acid", MMol: p(2.5)})
	assert.InEpsilon(t, 0.05, g.GoalPK, 1e-9)
	assert.InEpsilon(t, 2.5, g.PKs[0].SD, 1e-3)

	g, _ = guide(recipe.Find{What: "blank"})
	assert.InEpsilon(t, 0.01e-3, g.Goal, 1e-9)
}

// Where carbon dioxide can be boiled out: from pH 3.8, and not from pH 5, two below the first pK
// of carbonic acid being 4.4. By hand: what is left of the acid over the 2.5 mmol that the chalk
// takes, in 60 mL.
func TestFromWhereCarbonDioxideBoilsOut(t *testing.T) {
	_, err := recipe.Compile(antacid(2.5+60*math.Pow(10, -3.8), true))
	require.NoError(t, err)
	_, err = recipe.Compile(antacid(2.5+60*math.Pow(10, -5), true))
	require.ErrorContains(t, err, "boils out only of an acid solution")
}

// Of so little that the answer would be known to a fifth it is said that it cannot be determined;
// below 30 % of a burette of 25 mL (USP <31>) that more would be better.
func TestTooLittleToDetermine(t *testing.T) {
	plan := func(mmol float64) recipe.Plan {
		return recipe.Plan{Name: "figures", Find: &recipe.Find{What: "amount"}, Beaker: recipe.Beaker{StartML: p(60), FinalML: p(160)}, Weighed: []recipe.Weighed{{Reagent: "HCl", MMol: &mmol}},
			Titrants: []recipe.Titrant{{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: p(0.1), By: "burette"}}}
	}
	for mmol, said := range map[float64]bool{0.6: true, 0.9: false} { // 6 mL, and 9
		s, err := recipe.Compile(plan(mmol))
		require.NoError(t, err)
		words, _, err := s.Prospect()
		require.NoError(t, err)
		assert.Equal(t, said, strings.Contains(words, "mL of titrant are used"), "%g mmol: %s", mmol, words)
	}
	_, err := recipe.Compile(plan(0.003)) // to a quarter
	require.ErrorContains(t, err, "cannot be determined")
	_, err = recipe.Compile(plan(0.005)) // to an eighth or so
	require.NoError(t, err)
}

// A hydrate that weighs 8 in 100 less is a mistake that tells: MES anhydrous for the monohydrate, 195.2
// for 213.3.
func TestAnotherHydrateIsKeptAnEyeOn(t *testing.T) {
	s, err := recipe.CompileAmended(recipe.Plan{Target: recipe.Target{PH: p(6)}, Beaker: recipe.Beaker{StartML: p(160), FinalML: p(200)},
		Weighed: []recipe.Weighed{{Reagent: "MES monohydrate", Grams: p(2)}}, Titrants: []recipe.Titrant{{Reagent: "NaOH", Molar: p(1)}}})
	require.NoError(t, err)
	b, err := s.Bench(s.BenchTemp)
	require.NoError(t, err)
	assert.True(t, slices.ContainsFunc(b.Mistakes, func(m coach.Mistake) bool { return strings.Contains(m.Name, "MES anhydrous") }), "%v", b.Mistakes)
}

// Weighings of a dropper that differ by a third are asked for again; by a quarter they count, with
// the spread that they have.
func TestFromWhenADropperIsWeighedAgain(t *testing.T) {
	d, err := recipe.MeasureDrop(20, []float64{1, 1.22}, 1)
	require.NoError(t, err)
	assert.InEpsilon(t, 55.5, d.UL, 1e-6)
	_, err = recipe.MeasureDrop(20, []float64{1, 1.5}, 1)
	require.ErrorContains(t, err, "the weighings differ by 40 %")
}
