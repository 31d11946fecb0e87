package coach_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// bottle is a mistake with the first bottle: so many times as strong as labelled.
func bottle(b *coach.Bench, code string, prior, times float64) coach.Mistake {
	c := b.Stocks[0].PerLitre
	c.Charge *= times
	return coach.Mistake{Name: code, Code: code, Prior: prior, Stock: 1, PerLitre: &c}
}

// doubled is a bench whose bottle was twice as strong as labelled, after a first dose, with
// the accounts of it that are given.
func doubled(t *testing.T, priors ...float64) (*coach.Bench, coach.History, float64) {
	t.Helper()
	b, shown := plain(t, 0.2, 0.5)
	for i, p := range priors {
		b.Mistakes = append(b.Mistakes, bottle(b, fmt.Sprintf("account %d", i+1), p, 2))
	}
	b.Stocks[0].StrengthSD = 0.04
	h := coach.History{Additions: []coach.Addition{plainDose(20)}, Observations: []coach.Observation{{PH: shown, SD: 0.003}}}
	return b, h, shown + plainWay(0.2, 0.4)
}

// TestAlikeAccountsAreNamedTogether: what the readings cannot tell apart is named beside the
// likeliest, where it has a seventh of its probability or so; three at the most.
func TestAlikeAccountsAreNamedTogether(t *testing.T) {
	for _, c := range []struct {
		priors []float64
		named  int
	}{
		{[]float64{0.05, 0.05 * 0.125}, 1},
		{[]float64{0.05, 0.05 * 0.18}, 2},
		{[]float64{0.05, 0.04, 0.03, 0.02, 0.02}, 3},
	} {
		b, h, y := doubled(t, c.priors...)
		a := b.Advise(coach.Request{History: h, Now: settled(y, 0.003)})
		require.Equal(t, coach.Check, a.Do, "%v", a.Reason)
		assert.Len(t, a.Mistakes, c.named, "%v", c.priors)
	}
}

// TestNobodyIsNamedOnAVagueReading: however sure it would be, up to some 0.03 pH or twice of what
// the reading will be known in the end.
func TestNobodyIsNamedOnAVagueReading(t *testing.T) {
	for _, c := range []struct {
		sd, final float64
		do        coach.Action
	}{
		{0.025, 0.005, coach.Check}, {0.036, 0.005, coach.Wait},
		{0.042, 0.0235, coach.Check}, {0.06, 0.024, coach.Wait},
	} {
		b, h, y := doubled(t, 0.05)
		a := b.Advise(coach.Request{History: h, Now: coach.Present{PH: y, Shown: y, SD: c.sd, FinalSD: c.final, Age: 265}})
		assert.Equal(t, c.do, a.Do, "%+v: %v", c, a.Reason)
	}
}

// TestStepsAreProbesWhileAccountsAreOpen: from one chance in five on that something is wrong.
func TestStepsAreProbesWhileAccountsAreOpen(t *testing.T) {
	for prior, why := range map[float64]coach.Reason{0.165: coach.Far, 0.24: coach.Probe} {
		b, shown := plain(t, 0.2, 0.6)
		b.Stocks[0].DropSD = 0.05
		b.Mistakes = []coach.Mistake{bottle(b, "stronger", prior, 2)} // nothing was given: no reading can tell
		a := b.Advise(coach.Request{Now: settled(shown, 0.003)})
		require.Equal(t, coach.Add, a.Do)
		assert.Equal(t, why, a.Reason, "%g", prior)
	}
}

// normalAbove is the chance of a standard normal to be above z.
func normalAbove(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }

// TestChanceOfADoseByHand: what a dose of labelled charge q may do where the beaker takes L to
// pass, from bottles and droppers known to s: of careful hands P(q·eˢᶻ > L) = 1−Φ(ln(L/q)/s), and
// 14 in a hundred are not careful: they have drops 2.2 times as wide, bottles and scatter
// twice. ln(L/q) is 2.5 s in each.
func TestChanceOfADoseByHand(t *testing.T) {
	const q, k = 0.25 * plainMol, 2.5
	for _, c := range []struct {
		what     string
		s, wider float64
		set      func(s *coach.Stock, sd float64)
	}{
		{"drops", 0.08, 2.2, func(s *coach.Stock, sd float64) { s.DropSD = sd }},
		{"bottle", 0.08, 2, func(s *coach.Stock, sd float64) { s.StrengthSD = sd }},
		{"scatter", 0.08, 2, func(s *coach.Stock, sd float64) { s.ScatterSD = sd }},
	} {
		b, shown := plain(t, 0.3, 0.6)
		limit := q * math.Exp(k*c.s) // of the acid
		if c.what == "scatter" {
			limit = q * (1 + k*c.s) // it is of the volume itself
		}
		at, err := b.Model.Solve(ptrTo(b.Water.Plus(1, withCharge(b.Weighed, limit))))
		require.NoError(t, err)
		b.Target = at.PH - b.Tolerance
		b.Stocks[0] = plainStock("base", q)
		c.set(&b.Stocks[0], c.s)
		want := 0.86*normalAbove(k) + 0.14*normalAbove(k/c.wider) // 0.0053 and, of drops, 0.0179
		got := b.Risk(coach.History{Observations: []coach.Observation{{PH: shown, SD: 2e-4}}}, 0, 1)
		assert.InDelta(t, math.Log(want), math.Log(got), 0.35, "%s: %.4f for %.4f", c.what, got, want)
	}
}

func ptrTo(c chem.Composition) *chem.Composition { return &c }

// withCharge is a composition with so much strong base more.
func withCharge(c chem.Composition, q float64) chem.Composition {
	c.Charge += q
	return c
}
