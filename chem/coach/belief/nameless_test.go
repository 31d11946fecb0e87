package belief_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/coachtest"
)

// law is what the account without a name thinks of a capacity before any reading: ln of it is
// off by whole everywhere and by shape in places, alike within length, exp(−d²/2·length²);
// bottles differ by 0.15 (a squared exponential: Rasmussen & Williams, Gaussian Processes for
// Machine Learning, 2006, eq. 4.9; conditioned as in eq. 2.19 there).
type law struct{ whole, shape, length float64 }

// alike is the covariance of the means over two ways, from a to b and from c to d, less the
// bottle's: a midpoint sum of the double integral.
func (l law) alike(a, b, c, d float64) (sum float64) {
	const n = 30
	for i := range n {
		for j := range n {
			z := (a + (b-a)*(float64(i)+0.5)/n - c - (d-c)*(float64(j)+0.5)/n) / l.length
			sum += l.shape * l.shape * math.Exp(-z*z/2) / (n * n)
		}
	}
	return sum + l.whole*l.whole
}

// before is the spread of ln of what leads over a way of pH.
func (l law) before(way float64) float64 { return math.Sqrt(l.alike(0, way, 0, way) + 0.15*0.15) }

// after is that spread for the way on from one that was seen but for 0.03, with the same bottle or
// another.
func (l law) after(seen, way float64, same bool) float64 {
	c := l.alike(0, seen, seen, seen+way)
	if same {
		c += 0.15 * 0.15
	}
	v := l.alike(0, seen, 0, seen) + 0.15*0.15
	return math.Sqrt(l.alike(0, way, 0, way) + 0.15*0.15 - c*c/(v+0.03*0.03))
}

// stretch is a bench that was seen from one reading to the next, way pH further, just as planned, with two
// bottles of the same.
func stretch(t *testing.T, unweighed bool, way float64) belief.Belief {
	t.Helper()
	b, shown := coachtest.Plain(0.3, 0.7)
	other := b.Stocks[0]
	other.Dropper = 1
	b.Stocks = append(b.Stocks, other)
	drops := coachtest.Mol * 0.21 * math.Ln10 * way / 0.05e-3
	if unweighed {
		b.Unweighed, b.Weighed = true, chem.Composition{}
	}
	return b.Believe(coach.History{
		Additions:    []coach.Addition{coachtest.Dose(drops)},
		Observations: []coach.Observation{{PH: shown, SD: 1e-5}, {After: 1, PH: shown + way, SD: 1e-5}},
	})
}

// TestCapacityThatNobodyNamed: what the account without a name foretells is the posterior of that
// process, worked out by hand for a plan, and for a beaker that nobody weighed.
func TestCapacityThatNobodyNamed(t *testing.T) {
	const seen, near, far = 0.04, 0.02, 2.0
	for _, c := range []struct {
		what      string
		unweighed bool
		law       law
	}{
		{"planned", false, law{0.7, 0.5, 1.2}},
		{"unweighed", true, law{1.1, 0.9, 1.3}},
	} {
		b, shown := coachtest.Plain(0.3, 0.7)
		if c.unweighed {
			b.Unweighed, b.Weighed = true, chem.Composition{}
		}
		bel := b.Believe(coach.History{Observations: []coach.Observation{{PH: shown, SD: 1e-5}}})
		charge, sd := bel.Free.Ahead(chem.PH(shown+near), 0)
		assert.InEpsilon(t, c.law.before(near), sd, 0.13, c.what) // 0.87 and 1.31
		if c.unweighed {
			assert.InEpsilon(t, 0.010*0.1*near, charge.Moles(), 0.2, "10 mmol/L per pH in 0.1 L")
		}
		bel = stretch(t, c.unweighed, seen)
		for _, on := range []struct {
			way    float64
			bottle int
		}{{near, 0}, {near, 1}, {far, 0}} {
			_, sd := bel.Free.Ahead(chem.PH(shown+seen+on.way), on.bottle)
			assert.InEpsilon(t, c.law.after(seen, on.way, on.bottle == 0), sd, 0.17, "%s: %g pH on from bottle %d", c.what, on.way, on.bottle)
		}
	}
}

// TestASmallStepSaysLittle: of a step that is no larger than the noise of its readings, the
// capacity is what sums over all capacities say (the mode of their posterior, found here by
// trying each), however short the way happened to be: not a large one.
func TestASmallStepSaysLittle(t *testing.T) {
	const sd, moves = 0.007, 0.024 // pH: of a reading, and what the dose would do as planned
	err := sd * math.Sqrt2
	for _, seen := range []float64{-0.008, 0.0005, 0.003, 0.012, 0.024, 0.06} {
		b, shown := coachtest.Plain(0.3, 0.7)
		drops := coachtest.Mol * 0.21 * math.Ln10 * moves / 0.05e-3
		bel := b.Believe(coach.History{
			Additions:    []coach.Addition{coachtest.Dose(drops)},
			Observations: []coach.Observation{{PH: shown, SD: sd}, {After: 1, PH: shown + seen, SD: sd}},
		})
		v := math.Pow(law{0.7, 0.5, 1.2}.before(0.01), 2)
		best, most := math.Inf(-1), 0.0
		for c := -3.0; c < 3; c += 0.001 {
			z := (seen - moves*math.Exp(-c)) / err
			if l := -z*z/2 - c*c/(2*v); l > best {
				best, most = l, c
			}
		}
		charge, _ := bel.Free.Ahead(chem.PH(shown+seen+0.02), 0)
		assert.InDelta(t, most, math.Log(charge.Moles()/(coachtest.Mol*0.21*math.Ln10*0.02)), 0.12, "%g seen", seen)
	}
}

// TestAVagueReadingBetween: of two small steps with a reading between that nobody could read,
// what both together did is known as well as if they had been one.
func TestAVagueReadingBetween(t *testing.T) {
	const sd, step = 0.004, 0.03
	b, shown := coachtest.Plain(0.3, 0.7)
	drops := coachtest.Mol * 0.21 * math.Ln10 * step / 0.05e-3
	one := b.Believe(coach.History{
		Additions:    []coach.Addition{coachtest.Dose(2 * drops)},
		Observations: []coach.Observation{{PH: shown, SD: sd}, {After: 1, PH: shown + step, SD: sd}},
	})
	two := b.Believe(coach.History{
		Additions:    []coach.Addition{coachtest.Dose(drops), coachtest.Dose(drops)},
		Observations: []coach.Observation{{PH: shown, SD: sd}, {After: 1, PH: shown + 0.8*step, SD: 0.2}, {After: 2, PH: shown + step, SD: sd}},
	})
	charge, spread := one.Free.Ahead(chem.PH(shown+2*step), 0)
	got, gotSpread := two.Free.Ahead(chem.PH(shown+2*step), 0)
	assert.InEpsilon(t, charge.Moles(), got.Moles(), 0.06)
	assert.InEpsilon(t, spread, gotSpread, 0.15)
}

// TestNothingGoesTheWrongWay: a base after which the pH is lower is nine natural logarithms against the account without a
// name, so that something else that was given, which nobody logged, is the likelier one.
func TestNothingGoesTheWrongWay(t *testing.T) {
	bel := still(t, 0.3, -0.2, 0.003)
	require.Greater(t, bel.Weight("unlogged:1"), 0.9)
	moves := 0.2 * coachtest.Mol / coachtest.Capacity(0.45)
	want := math.Log(0.006/10) - 9 - math.Log(0.003*expected(0, 0.003)*normal(0.5, moves))
	assert.InDelta(t, want, math.Log(bel.Free.Weight/bel.Weight("unlogged:1")), 2)
}
