package dose_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// normalAbove is the chance of a standard normal to be above z.
func normalAbove(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }

// TestChanceOfADoseByHand: what a dose of labelled charge q may do where the beaker takes L to
// pass, from bottles and droppers known to s: of careful hands P(q·eˢᶻ > L) = 1−Φ(ln(L/q)/s), and
// 14 in a hundred are not careful: they have drops 2.2 times as wide, bottles and scatter
// twice. ln(L/q) is 2.5 s in each.
func TestChanceOfADoseByHand(t *testing.T) {
	const q, k = 0.25 * coachtest.Mol, 2.5
	for _, c := range []struct {
		what     string
		s, wider float64
		set      func(s *coach.Stock, sd float64)
	}{
		{"drops", 0.08, 2.2, func(s *coach.Stock, sd float64) { s.DropSD = sd }},
		{"bottle", 0.08, 2, func(s *coach.Stock, sd float64) { s.StrengthSD = sd }},
		{"scatter", 0.08, 2, func(s *coach.Stock, sd float64) { s.ScatterSD = sd }},
	} {
		b, shown := coachtest.Plain(0.3, 0.6)
		limit := q * math.Exp(k*c.s) // of the acid
		if c.what == "scatter" {
			limit = q * (1 + k*c.s) // it is of the volume itself
		}
		at, err := b.Model.Solve(ptrTo(b.Water.Plus(1, withCharge(b.Weighed, limit))))
		require.NoError(t, err)
		b.Target = at.PH - b.Tolerance
		b.Stocks[0] = coachtest.Stock("base", q)
		c.set(&b.Stocks[0], c.s)
		want := 0.86*normalAbove(k) + 0.14*normalAbove(k/c.wider) // 0.0053 and, of drops, 0.0179
		got := risk(b, coach.History{Observations: []coach.Observation{{PH: shown, SD: 2e-4}}}, 0, 1)
		assert.InDelta(t, math.Log(want), math.Log(got), 0.35, "%s: %.4f for %.4f", c.what, got, want)
	}
}

func ptrTo(c chem.Composition) *chem.Composition { return &c }

// withCharge is a composition with so much strong base more.
func withCharge(c chem.Composition, q float64) chem.Composition {
	c.Charge += q
	return c
}

// TestChanceOfARememberedDose: as TestChanceOfADoseByHand. What was seen was seen in these hands, which
// may be half as careless again, no more; and of a bottle that was exchanged half as much again is unknown as of
// one that is not.
func TestChanceOfARememberedDose(t *testing.T) {
	const q, s = 0.25 * coachtest.Mol, 0.08
	for _, c := range []struct {
		what        string
		k           float64 // ln(L/q) in spreads
		seen, label float64 // spreads of the bottle
		want, times float64 // and as many times more or less
	}{
		{"as remembered", 2.5, s, 1e-6, 0.7 * (0.86*normalAbove(2.5) + 0.14*normalAbove(2.5/1.5)), 1.6},
		{"exchanged", 3, 1e-6, s, 0.3 * normalAbove(3/1.5), 2.8},
	} {
		b, shown := coachtest.Plain(0.3, 0.6)
		at, err := b.Model.Solve(ptrTo(b.Water.Plus(1, withCharge(b.Weighed, q*math.Exp(c.k*s)))))
		require.NoError(t, err)
		b.Target = at.PH - b.Tolerance
		b.Stocks[0] = coachtest.Stock("base", q)
		b.Stocks[0].StrengthSD = c.label
		b.Stocks[0].Learned = &coach.Learned{SharedSD: 1e-6, OwnSD: c.seen, PouredSD: 1e-6, Seen: true}
		got := risk(b, coach.History{Observations: []coach.Observation{{PH: shown, SD: 2e-4}}}, 0, 1)
		assert.InDelta(t, math.Log(c.want), math.Log(got), math.Log(c.times), "%s: %.4f for %.4f", c.what, got, c.want)
	}
}
