package coach_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// An order that is being carried out stands as long as it leads inside the tolerance: a count that
// changes under the hand is worse than an end at its edge. Beyond that it is another.
func TestAnOrderStandsAsLongAsItLeadsInside(t *testing.T) {
	b, h, at := coachtest.Nearby(-0.05)
	r := coach.Request{History: h, Now: coachtest.Settled(at, 0.003), Begun: true}
	aim := b.Advise(r).Aim
	for past, stands := range map[float64]bool{0: true, 0.85: true, 1.2: false, 2: false} { // of the tolerance
		drops := 1.0
		for after := at; after < aim+past*b.Tolerance; drops++ { // each does a hundredth of it
			after, _, _ = b.Landing(r, coachtest.Dose(drops))
		}
		assert.Equal(t, stands, b.Stands(r, 0, drops), "%g", past)
	}
}

// A better reading is worth a wait where the addition on it would come nearer by a quarter of the way
// that is left and a quarter of the tolerance: a third of the tolerance is, a fifth is not.
func TestABetterReadingIsWorthAThirdOfTheTolerance(t *testing.T) {
	leaves := func(off float64) coach.Advice { return coach.Advice{Aim: 7, After: 7 - off, Tolerance: 0.03} }
	assert.True(t, leaves(0.010).Falls(leaves(0)))
	assert.False(t, leaves(0.006).Falls(leaves(0)))
	assert.True(t, leaves(0.265).Falls(leaves(0.2)))
	assert.False(t, leaves(0.24).Falls(leaves(0.2)))
}

// How many drops lead from one reading to another is told by a reading known to 0.02, with which
// Bayes' theorem takes back a part of what it seems to say of the drops. 30 drops were counted for 0.15 of the
// acid, known to 0.076 (ln), and did 1.1 times that; a reading known to 0.02 there, over the capacity
// 2.303·C·0.565·0.435, is 0.075 of what was given: half of ln 1.1 is believed, and the next drops are
// 5 % fewer than by their labels.
func TestDropsAreToldByAReadingKnownToTwoHundredths(t *testing.T) {
	b, shown := coachtest.Plain(0.4, 0.7)
	b.Stocks[0].StrengthSD = 0.076
	h := coach.History{Additions: []coach.Addition{coachtest.Dose(30)}, Observations: []coach.Observation{{PH: shown, SD: 0.001}}}
	at := func(x float64) chem.PH { return chem.PH(shown + coachtest.Way(0.4, x)) }
	n := b.DropsBetween(h, 0, at(0.565), at(0.7))
	sd := 0.02 * coachtest.Capacity(0.565) / (0.165 * coachtest.Mol)
	part := 0.076 * 0.076 / (0.076*0.076 + sd*sd)
	assert.InEpsilon(t, (0.7-0.565)*coachtest.Mol/0.05e-3*math.Exp(-part*math.Log(1.1)), n, 0.01)
}
