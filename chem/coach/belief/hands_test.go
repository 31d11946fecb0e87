package belief_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestADropThatIsAnotherThanRemembered: a drop remembered to 0.1 (ln) brings 0.3 more. Bayes' theorem
// by hand, beside careful hands, 0.80 of the 0.7 that go by what is remembered: careless ones, 0.14 of them,
// for whom the spread is half as wide again, and the bottle that was exchanged, three tenths of all, by a label
// known to 0.1 half as wide again. The same density for all of where the start was read cancels.
func TestADropThatIsAnotherThanRemembered(t *testing.T) {
	const known, more = 0.1, 0.3
	b, shown := coachtest.Plain(0.4, 0.6)
	b.Stocks[0].Learned = &coach.Learned{SharedSD: known, OwnSD: 1e-6, PouredSD: 1e-6}
	b.Stocks[0].StrengthSD = known
	gives := 0.15 * math.Exp(more) // of the acid, where 0.15 was counted: 30 drops of 0.05 mmol
	bel := b.Believe(coach.History{
		Additions:    []coach.Addition{coachtest.Dose(30)},
		Observations: []coach.Observation{{PH: shown, SD: 0.001}, {After: 1, PH: shown + coachtest.Way(0.4, 0.4+gives), SD: 0.001}},
	})
	careful := 0.7 * 0.80 * normal(more, known)
	assert.InEpsilon(t, 0.7*0.14*normal(more, 1.5*known)/careful, bel.Careless()/bel.Careful(), oddsWithin)
	assert.InEpsilon(t, 0.3*normal(more, 1.5*known)/careful, bel.Fresh()/bel.Careful(), oddsWithin)
}
