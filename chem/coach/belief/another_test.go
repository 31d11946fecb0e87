package belief_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/recipe"
)

// Water that has stood in air is at about 5.6 (in equilibrium with 400 ppm CO₂: Stumm & Morgan,
// Aquatic Chemistry, from memory). Where the plan starts elsewhere, that is asked about before
// anything is given; who has looked is not asked again, and gets no more than a drop or two. A
// start as planned, or off by as much as care allows, is not held up by it.
func TestNothingOfTheBufferInTheBeaker(t *testing.T) {
	for reagent, target := range map[string]float64{"succinic acid": 4.2, "sodium carbonate": 10, "malonic acid": 5.5, "ethanolamine": 9.5} {
		b := coachtest.PlanOf(reagent, 20, target)
		a := b.Advise(coachtest.AtRest(coach.History{}, 5.6))
		require.Equal(t, coach.Mistaken, a.Reason, reagent)
		assert.Equal(t, []string{recipe.Absent}, a.Codes(), reagent)

	}
	for _, ph := range []float64{3.75, 10.15} { // of no water that anybody has poured
		b := coachtest.PlanOf("ethanolamine", 20, 9.5)
		if ph > 7 {
			b = coachtest.PlanOf("succinic acid", 20, 4.2)
		}
		assert.NotContains(t, b.Advise(coachtest.AtRest(coach.History{}, ph)).Codes(), recipe.Absent, "%g", ph)
	}
	for reagent, target := range map[string]float64{"succinic acid": 4.2, "sodium dihydrogen phosphate": 7, "Tris hydrochloride": 8, "MES": 6} {
		b := coachtest.PlanOf(reagent, 20, target)
		start := b.Forecast().Start
		for _, off := range []float64{-0.1, 0, 0.1} {
			bel := b.Believe(coach.History{Observations: []coach.Observation{{PH: start + off, SD: 0.01}}})
			assert.Less(t, bel.Weight(recipe.Absent), 3e-4, "%s at %.2f: a first order is held up by more", reagent, start+off)
			assert.Equal(t, coach.Add, b.Advise(coachtest.AtRest(coach.History{}, start+off)).Do, reagent)
		}
	}
}

// Water with a trace of acid in it is asked about down to 3.83, where that trace is 1.5e-4 mol/L
// (of a rinsed beaker and the air, account.waterCharge and airCharge, six times as much as is
// usual): below, no water that anybody poured reads so, and it is rather the electrode.
func TestHowAcidWaterMayBe(t *testing.T) {
	b := coachtest.PlanOf("ethanolamine", 20, 9.5)
	for ph, named := range map[float64]bool{3.75: false, 3.79: false, 3.85: true, 3.95: true} {
		codes := b.Advise(coachtest.AtRest(coach.History{}, ph)).Codes()
		assert.Equal(t, named, slices.Contains(codes, recipe.Absent), "%g: %v", ph, codes)
	}
}

// After a drop or two of a strong base, water shows −log of what they brought (0.1 mL of 1 M
// in 160 mL: 6.25e-4 mol/L, pH 10.8 at pKw 14.0): nothing else on the list does.
func TestWaterIsKnownByItsFirstDrops(t *testing.T) {
	b := coachtest.PlanOf("succinic acid", 20, 4.2)
	h := coach.History{Additions: []coach.Addition{{Stock: 1, Volume: 0.1 * chem.Millilitre, Drops: 2}},
		Observations: []coach.Observation{{PH: 5.6, SD: 0.02}}, Looked: []string{recipe.Absent}}
	a := b.Advise(coachtest.AtRest(h, 10.8))
	assert.Equal(t, []string{recipe.Absent}, a.Codes(), "looked for once, and still the likeliest")
}

// A beaker of Tris, planned as citrate: nothing on the list answers like it, and that is
// said. Of one that nobody has found out about, little is promised from then on: its capacity
// is looked for as in a beaker that nobody weighed.
func TestAnotherSubstance(t *testing.T) {
	truth, b := coachtest.PlanOf("Tris", 20, 8), coachtest.PlanOf("trisodium citrate dihydrate", 20, 5)
	h := coach.History{}
	given := truth.Water.Plus(1, truth.Weighed)
	var a coach.Advice
	for range 5 {
		e, err := truth.Model.Solve(&given)
		require.NoError(t, err)
		if a = b.Advise(coachtest.AtRest(h, e.PH)); a.Reason == coach.Mistaken {
			if a.Codes()[0] == coach.Another {
				break
			}
			h.Looked = append(h.Looked, a.Codes()...)
			h.Looked = append(h.Looked, a.Codes()...)
			continue
		}
		require.Equal(t, coach.Add, a.Do)
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: e.PH, SD: 0.01})
		h.Additions = append(h.Additions, coach.Addition{Stock: a.Stock, Volume: a.Volume, Drops: a.Drops})
		given = given.Plus(a.Volume.Litres(), truth.Stocks[a.Stock].PerLitre)
	}
	require.Equal(t, []string{coach.Another}, a.Codes())
	assert.GreaterOrEqual(t, a.Weight, 0.86)
	e, err := truth.Model.Solve(&given)
	require.NoError(t, err)

	h.Looked = append(h.Looked, coach.Another)
	after := b.Advise(coachtest.AtRest(h, e.PH))
	require.Equal(t, coach.Add, after.Do, "it is not asked again")
	h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: e.PH, SD: 0.01})
	bel := b.Believe(h)
	_, doubt := bel.Free.Ahead(chem.PH(e.PH-1), after.Stock)
	b.Unweighed, b.Weighed = true, chem.Composition{}
	bel = b.Believe(h)
	_, plain := bel.Free.Ahead(chem.PH(e.PH-1), after.Stock)
	assert.InEpsilon(t, plain, doubt, 0.01, "as careful as with a beaker that nobody weighed")
}

// It is asked from 98 % on: what a sound bench of a strange kind comes to is left alone.
func TestAnotherSubstanceIsAskedWhenSure(t *testing.T) {
	b := coachtest.PlanOf("trisodium citrate dihydrate", 20, 5)
	start := b.Forecast().Start
	dose := coach.Addition{Volume: 10 * chem.Millilitre, Drops: 200}
	seen := map[bool]int{}
	for at := 4.0; at < 6; at += 0.1 {
		for second := at - 1.6; second < at; second += 0.2 {
			h := coach.History{Additions: []coach.Addition{dose, dose}, Observations: []coach.Observation{{PH: start, SD: 0.02}, {After: 1, PH: at, SD: 0.02}}}
			r := coachtest.AtRest(h, second)
			full := h
			full.Observations = append(full.Observations, coach.Observation{After: 2, PH: second, SD: 0.01})
			bel := b.Believe(full)
			switch w := bel.Free.Weight; {
			case w > 0.985:
				seen[true]++
				assert.Equal(t, []string{coach.Another}, b.Advise(r).Codes(), "%.3f", w)
			case w > 0.5 && w < 0.97:
				seen[false]++
				assert.NotContains(t, b.Advise(r).Codes(), coach.Another, "%.3f", w)
			}
		}
	}
	assert.Greater(t, seen[true], 2)
	assert.Greater(t, seen[false], 2)
}

// With next to no buffer the air does more than any substance: what such a beaker is like is not
// asked about, nor one that nobody weighed.
func TestNoOtherSubstanceWhereThereIsNone(t *testing.T) {
	for mmol, asked := range map[float64]bool{0.09: false, 0.14: false, 0.18: true, 0.4: true} { // in 160 mL
		assert.Equal(t, asked, belief.Buffers(&coachtest.PlanOf("Tris", mmol, 8).Bench), "%g mmol", mmol)
	}
	b := coachtest.PlanOf("Tris", 20, 8)
	b.Unweighed = true
	assert.False(t, belief.Buffers(&b.Bench))
}
