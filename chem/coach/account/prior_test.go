package account_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// spreadAt is the standard deviation of the predicted pH where so many drops have been given.
func spreadAt(t *testing.T, b *coach.Bench, h coach.History, charge float64) float64 {
	t.Helper()
	pts := b.Curve(h, chem.Amount(charge), chem.Amount(charge)+1e-6, 2)
	require.Len(t, pts, 2)
	return (pts[0].High - pts[0].Low) / (2 * 1.96)
}

// TestPlanIsAsSureAsCarefulHands: before any reading, the predicted pH is as uncertain as
// each error of ordinary care makes it alone, δpH = δq/β, beside the one of the scale. That
// care is a design figure: an amount weighed to 1.5 %, a start that is off by 1.5 % of the
// buffer, a scale off by 0.035 pH, single drops that scatter by 5 %, half drops by a quarter, and a
// measured volume by 2 %. What it takes to plan by a bench is within a sixth of that.
func TestPlanIsAsSureAsCarefulHands(t *testing.T) {
	const scale, within = 0.035, 0.17
	b, _ := coachtest.Plain(0.5, 0.6)
	assert.InEpsilon(t, scale, spreadAt(t, b, coach.History{}, 0), within, "the scale alone")

	b, _ = coachtest.Plain(0.1, 0.5)
	b.Buffer = coachtest.Mol
	start := 0.015 * coachtest.Mol / coachtest.Capacity(0.1) // 0.15 mmol over 2.07 mmol per pH: 0.072
	assert.InEpsilon(t, math.Hypot(scale, start), spreadAt(t, b, coach.History{}, 0), within, "the start")

	b, _ = coachtest.Plain(0.1, 0.5)
	b.AmountSD = 0                                                  // ordinary care
	amount := 0.015 * 0.8 * coachtest.Mol / coachtest.Capacity(0.9) // 1.5 % of what was given, over 2.07: 0.058
	assert.InEpsilon(t, math.Hypot(scale, amount), spreadAt(t, b, coach.History{}, 0.8*coachtest.Mol), within, "the amount")

	for _, c := range []struct {
		what  string
		drops float64 // in which all is given; 0 for a measured volume
		given float64 // of the acid
		sd    float64 // of what was given
	}{
		{"one drop", 1, 0.65, 0.05},
		{"four drops", 4, 0.65, 0.05 / 2},
		{"half a drop", 0.5, 0.15, math.Hypot(0.25, 0.05*math.Sqrt2)},
		{"a measured volume of forty steps", 0, 0.75, math.Hypot(0.02, 0.3/40)},
	} {
		b, _ := coachtest.Plain(0.1, 0.5)
		s := coachtest.Stock("base", c.given*coachtest.Mol)
		s.ScatterSD = 0 // ordinary drops
		a := coach.Addition{Volume: coachtest.Drop, Drops: c.drops}
		if c.drops > 0 {
			a.Volume = chem.Volume(c.drops) * coachtest.Drop
			s = coachtest.Stock("base", c.given*coachtest.Mol/c.drops)
			s.ScatterSD = 0
		}
		if c.drops == 0 {
			a.Volume = 40 * coachtest.Drop
			s = coachtest.Stock("base", c.given*coachtest.Mol/40)
		}
		b.Stocks[0] = s
		given := c.sd * c.given * coachtest.Mol / coachtest.Capacity(0.1+c.given)
		assert.InEpsilon(t, math.Hypot(scale, given), spreadAt(t, b, coach.History{Additions: []coach.Addition{a}}, c.given*coachtest.Mol), within, c.what)
	}
}
