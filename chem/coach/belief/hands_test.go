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

// TestCarelessHandsErrFurther: an addition that brought more than it should by three and a half of the
// spreads that careful hands have, of the label, the dropper or a single drop. Of careless hands, of which
// there are 14 beside 80, the spreads are 2, 2.2 and 2 times as wide: Bayes' theorem by hand.
func TestCarelessHandsErrFurther(t *testing.T) {
	const sd = 0.04
	for _, c := range []struct {
		what  string
		times float64
		of    func(s *coach.Stock)
	}{
		{"label", 2, func(s *coach.Stock) { s.StrengthSD = sd }},
		{"dropper", 2.2, func(s *coach.Stock) { s.DropSD = sd }},
		{"drop", 2, func(s *coach.Stock) { s.ScatterSD = sd }},
	} {
		b, shown := coachtest.Plain(0.4, 0.6)
		b.Stocks[0] = coachtest.Stock("base", 0.15*coachtest.Mol) // one drop
		c.of(&b.Stocks[0])
		more := 3.5 * sd
		if c.what != "drop" {
			more = math.Expm1(more) // those are known in ln
		}
		bel := b.Believe(coach.History{
			Additions:    []coach.Addition{coachtest.Dose(1)},
			Observations: []coach.Observation{{PH: shown, SD: 1e-4}, {After: 1, PH: shown + coachtest.Way(0.4, 0.4+0.15*(1+more)), SD: 1e-4}},
		})
		want := 0.14 / 0.80 * normal(3.5, c.times) / normal(3.5, 1)
		assert.InEpsilon(t, want, bel.Careless()/bel.Careful(), oddsWithin, c.what)
	}
}
