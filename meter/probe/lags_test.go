package probe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// sure are electrodes of which one is left, with these figures, and a beaker that is known.
func sure(fast, late, share float64) *lags {
	l := newLags(0, 0.01)
	l.each = []lagged{{fast: fast, late: late, share: share, noise: readSD, w: 1, x: [lagStates]float64{lagEnd: 7}}}
	return l.judged(0.01)
}

// Where a typed run leads after an addition: expected to go by d it may be off by about a third of
// that, by twice what the coach doubts of it, and by some hundredths whatever is said; a beaker of which
// nothing is known lies evenly from 1 to 13, with a standard deviation of 12/√12.
func TestWhereATypedAdditionLeads(t *testing.T) {
	for _, c := range []struct{ step, sd, low, high float64 }{
		{1, 0, 0.27, 0.5}, {-1, 0, 0.27, 0.5}, {0, 0.2, 0.3, 0.6}, {0, 0, 0.02, 0.05}, {0, 100, 2.4, 4.5},
	} {
		k := Track(Unknown()).Resolve(0.01).Type(10, 7, true).Type(60, 7, true)
		k, _ = k.Give(Addition{Seq: 1, T: 70, From: math.NaN(), Step: c.step, SD: c.sd})
		e := k.Estimate(70)
		assert.InDelta(t, 7+c.step, e.End, 0.02)
		assert.True(t, e.SD > c.low && e.SD < c.high, "%+v: %.3f", c, e.SD)
	}
}

// What an electrode lacks of an addition when it is put on record: some seconds have passed since
// its last drop, so that of a time constant of 6 s there is d·e^(−t/6 s) left, with t between 2
// and 5 s, and when each drop fell is known to a quarter or so of that. Of one that is given evenly over a span T the
// mean of e^(−t/τ) is left, τ(1−e^(−T/τ))/T.
func TestWhatAnElectrodeLacksOfAnAddition(t *testing.T) {
	k := Track(Unknown()).Resolve(0.01).Type(0, 7, true)
	k.lags = sure(6, 120, 0)
	for _, take := range []float64{0, 12} {
		g, _ := k.Give(Addition{Seq: 1, T: 60, From: math.NaN(), Step: 1, SD: 0.001, Take: take})
		mean := 1.0
		if take > 0 {
			mean = 6 * (1 - math.Exp(-take/6)) / take
		}
		l := g.lags.ahead(60).each[0]
		lacks := -l.x[lagOfFast] / mean
		assert.True(t, lacks > math.Exp(-5.0/6) && lacks < math.Exp(-2.0/6), "%.3f", lacks)
		at := g.lags.each[0] // as the last drop fell
		sd := math.Sqrt(at.p[lagOfFast][lagOfFast]-at.p[lagEnd][lagEnd]*mean*mean) / mean
		assert.True(t, sd > 0.18 && sd < 0.4, "%.3f of it", sd)
	}
}

// An electrode comes from storage or rinse water, nearly neutral: a first value in passing above
// that ends further up, one below further down.
func TestWhereAFirstValueGoes(t *testing.T) {
	for y, dir := range map[float64]float64{4.5: -1, 8.5: 1} {
		k := Track(Unknown()).Resolve(0.01).Type(30, y, false)
		assert.Greater(t, dir*(k.Estimate(30).End-y), 0.0, "%g", y)
	}
}

// A display that has shown one number for nine seconds has changed by no more than about a digit
// in them: the fast part lacks that over e^(9 s/τ) − 1.
func TestWhatADisplayThatStandsLacks(t *testing.T) {
	for _, tau := range []float64{5, 12} {
		l := sure(tau, 120, 0)
		n := &l.each[0]
		n.p[lagOfFast][lagOfFast] = 4
		n.p[lagEnd][lagEnd] = 4
		l = l.read(0, 7, 0.01, true)
		changed := math.Sqrt(l.each[0].p[lagOfFast][lagOfFast]) * math.Expm1(9/tau)
		assert.True(t, changed > 0.0075 && changed < 0.0125, "%.4f", changed)
	}
}

// The spread that another value would leave is the one of half a minute to a minute later. An
// electrode of 20 s: what it lacks falls by e^(−t/20 s), and so what is known of the end.
func TestWhatAnotherValueWouldTell(t *testing.T) {
	l := sure(20, 120, 0)
	l.each[0].p[lagOfFast][lagOfFast] = 1
	l.each[0].p[lagEnd][lagEnd] = 1
	l = l.read(0, 7, 0.01, false)
	after := func(dt float64) float64 { return l.read(dt, l.end, 0.01, false).sd }
	assert.Less(t, l.better, after(27))
	assert.Greater(t, l.better, after(55))
}

// typedUnread is what is known of beaker and electrode when a value comes, the first since an
// addition; was is what was known before that.
func typedUnread(l, was *lags, t, y float64) *lags {
	k := Tracker{typed: true, unread: true, lags: l, gone: was, latest: obs{t, y}, resolution: 0.01}
	k.leaves(obs{})
	return k.lags
}

// A value that is three and a half standard deviations from where an addition was to lead has
// been led elsewhere: in one run of two thousand by chance. One at two and a half is not, and
// one at five is.
func TestAnAdditionThatLedElsewhere(t *testing.T) {
	was := sure(5, 120, 0.005)
	l := was.changed(20, 30, 0.5, 0.2, 0.01)
	// of one electrode: doubt of the way, of the fast and late part, after 60 s next to nothing, and a look
	sd := math.Sqrt(0.2*0.2 + readSD*readSD)
	for z, elsewhere := range map[float64]bool{2.5: false, -2.5: false, 5: true, -5: true} {
		got := typedUnread(l, was, 90, 7.5+z*sd)
		assert.Equal(t, elsewhere, got != l, "%g", z)
		if elsewhere {
			assert.InDelta(t, 7.5+z*sd, got.end, 0.01)
			assert.GreaterOrEqual(t, got.sd, math.Abs(z*sd)-0.01)
		}
	}
}

// A beaker that has moved by a little with nothing on record may have gone a little further.
func TestATypedMoveThatNobodyTold(t *testing.T) {
	was := sure(5, 120, 0)
	l := typedUnread(was, was, 40, 7.03) // a good electrode, and far beyond its spread
	assert.NotSame(t, was, l)
	assert.True(t, l.sd > 0.06 && l.sd < 0.17, "%.3f", l.sd)
}
