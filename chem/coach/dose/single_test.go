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

// TestLargeDropTakesConsent: where a drop of 0.026 pH is too much, half of one is
// taken; where that is, too, a person is asked, and asked again before one is
// given that may well pass the tolerance; never one that would lead farther away.
func TestLargeDropTakesConsent(t *testing.T) {
	for _, c := range []struct {
		name    string
		missing float64
		asks    int // times, before it goes on; 3 for ever
	}{
		{"half a drop lands short of the aim", 0.023, 0},
		{"half a drop passes the aim, not the tolerance", 0.010, 1},
		{"half a drop may pass the tolerance", 0.008, 2},
		{"half a drop leads farther away", 0.006, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, y := coachtest.LargeDrop(c.missing)
			b.Tolerance = math.Min(b.Tolerance, c.missing*0.9)
			r := coach.Request{Now: coach.Present{PH: y, Shown: y, SD: 0.001, FinalSD: 0.001, Settled: true, Age: 300}}
			a := b.Advise(r)
			for range c.asks {
				require.Equal(t, coach.Check, a.Do, "%+v", a)
				require.Equal(t, coach.DropTooBig, a.Reason)
				require.InDelta(t, 0.026, a.OneDrop, 0.003, "0.15 mmol over 5.76 mmol per pH, ln 10 · C/4 at the pK")
				r.Confirmed = append(r.Confirmed, a.Codes()...)
				a = b.Advise(r)
			}
			if c.asks == 3 {
				require.Equal(t, coach.Check, a.Do, "%+v", a)
				return
			}
			require.Equal(t, coach.Add, a.Do, "%+v", a)
			require.Equal(t, 0.5, a.Drops)
			require.Less(t, math.Abs(a.After-a.Aim), c.missing)
			require.LessOrEqual(t, a.Chance, []float64{0.015, 0.10, 1}[c.asks])
		})
	}
}

// TestSingleDropsThatWereAgreedTo: where half a drop is safe, a whole one that lands nearer is
// given to whoever has agreed, unless it passes the tolerance with more than a chance in ten
// or its mean the aim by more than half of the tolerance.
func TestSingleDropsThatWereAgreedTo(t *testing.T) {
	for _, c := range []struct {
		missing, drop, sd, gives float64
	}{
		{0.05, 0.054, 0.0109, 1},   // 0.016 before the edge, 1.47 spreads: 0.07
		{0.05, 0.054, 0.0135, 0.5}, // 1.19 spreads: 0.118
		{0.05, 0.0585, 0.0003, 1},  // 0.0085 past the aim
		{0.05, 0.0627, 0.0003, 0.5},
	} {
		b, h, y := coachtest.Nearby(-c.missing)
		h.Observations[0].SD = 0.0003
		big := coachtest.Stock("large", c.drop*coachtest.Capacity(0.49))
		big.Dropper = 1
		b.Stocks = append(b.Stocks, big)
		b.Stocks[0], b.Stocks[1] = b.Stocks[1], b.Stocks[0]
		b.Stocks[0].Dropper, b.Stocks[1].Dropper = 0, 1
		h.Additions[0].Stock = 1
		now := coachtest.Settled(y, c.sd)
		one, _, _ := b.Landing(coach.Request{History: h, Now: now}, coach.Addition{Stock: 0, Volume: chem.Volume(1) * coachtest.Drop, Drops: 1})
		b.Stocks[1].Drop = 10 // nothing of the other fits
		a := b.Advise(coach.Request{History: h, Now: now, Confirmed: []string{"drop_too_big"}})
		assert.Equal(t, coach.Add, a.Do, "%+v: %v", c, a.Reason)
		assert.Equal(t, c.gives, a.Drops, "%+v: would land at %+.4f", c, one-a.Aim)
	}
}
