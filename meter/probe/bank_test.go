package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A tenth of a step came late on a recording of an ISFET, and with its doubt that is up to a
// sixth; a third has not been seen of any electrode, nor that one lacks a twentieth of a pH where it has
// not gone anywhere. Before anybody looked it may have come from a pH beside.
func TestWhatNoElectrodeDoes(t *testing.T) {
	e := Unknown()
	b := open(&e, 0, 7, 0.001)
	assert.False(t, b.astray(&summary{late: 0.16, end: 7}))
	assert.True(t, b.astray(&summary{late: 0.33, end: 7}))
	assert.False(t, b.astray(&summary{lacks: -0.16, end: 7}), "of the pH that nobody saw")
	assert.True(t, b.astray(&summary{lacks: 0.4, end: 7}))
	for b.t < 1800 {
		b = b.ahead(b.t+60, wander)
	}
	assert.False(t, b.astray(&summary{lacks: 0.02, end: 7}))
	assert.True(t, b.astray(&summary{lacks: -0.05, end: 7}))
	assert.False(t, b.astray(&summary{lacks: -0.35, end: 9}))
	assert.True(t, b.astray(&summary{lacks: -0.7, end: 9}))
}

// An end to which no slope leads that the latest twenty readings allow is none: their slope is
// known to σ√(12/n(n²−1)) for readings of σ a second apart (the variance of a least-squares slope), and
// the slowest late part has 420 s. A hundredth beside the display is not asked after.
func TestAnEndToWhichNothingLeads(t *testing.T) {
	const n = 20
	even := func(a float64) (k Tracker, sd float64) { // even about the middle: a slope of 0
		sq := 0.0
		for i := range n {
			y := a * math.Cos(math.Pi*float64(i))
			if i >= n/2 {
				y = a * math.Cos(math.Pi*float64(n-1-i))
			}
			k.past = append(k.past, obs{float64(i), 7 + y})
			sq += y * y
		}
		return k, math.Sqrt(sq / (n - 2))
	}
	k, sd := even(0.002)
	by := 420 * sd * math.Sqrt(12.0/(n*(n*n-1)))
	assert.False(t, k.adrift(&summary{now: 7, end: 7 + 2.2*by}))
	assert.True(t, k.adrift(&summary{now: 7, end: 7 - 4.5*by - 0.02}))
	k, _ = even(0)
	assert.False(t, k.adrift(&summary{now: 7, end: 7.015}))
	assert.True(t, k.adrift(&summary{now: 7, end: 7.03}))
}

// A beaker of which nothing is known lies between pH 1 and 13, evenly: a standard deviation of
// 12/√12.
func TestWhereABeakerMayBe(t *testing.T) {
	e := stood().Immerse(90).Estimate(90)
	s := e.SD / math.Sqrt2 // of the beaker, and of whether it is in yet
	assert.InEpsilon(t, 12/math.Sqrt(12), s, 0.3)
}

// An electrode gets slower in the cold and quicker with use by a factor of nearly two within an hour, as
// measured: after ten additions its time constant is known to that at two standard deviations,
// though it was known for sure. Steps to neighbours of the grid, independent, add their variances.
func TestATimeConstantIsForgotten(t *testing.T) {
	e := Unknown()
	for i, c := range allCells {
		if c.fast != 14 || c.late != 1 || c.share != 0 || c.noise != 0 {
			e.logW[i] = math.Inf(-1)
		}
	}
	b := open(&e, 0, 7, 0.001)
	large, quiet, square := 0.0, 0.0, 0.0
	for range 10 {
		b = b.spread()
	}
	for _, n := range b.nodes {
		large += n.w * float64(n.share)
		square += n.w * lnFast[n.fast] * lnFast[n.fast]
		if n.noise == 0 {
			quiet += n.w
		}
	}
	factor := math.Exp(2 * math.Sqrt(square-b.sum().lnFast*b.sum().lnFast))
	t.Logf("a factor of %.2f; a large late part %.2f, quiet %.2f", factor, large, quiet)
	assert.True(t, factor > 1.6 && factor < 1.8, "%.2f", factor)
	assert.True(t, large > 0.2 && large < 0.45, "a late part that seemed small may be a large one, and rather is not: %.2f", large)
	assert.Greater(t, quiet, 0.8, "a meter that was quiet is quiet")
}

// What still mixes after the last drop: a root-mean-square of a few hundredths of the way of 1 pH, of
// two or three digits after the least addition, and of the noise, by which the last drop is not
// known better; most of it within some seconds.
func TestWhatStillMixes(t *testing.T) {
	moves := func(d, noise, dt float64) float64 {
		e := Unknown()
		for i := range e.hiss {
			e.hiss[i].scale = e.hiss[i].shape * noise * noise
		}
		b := open(&e, 0, 7, 0)
		for i := range b.nodes {
			b.nodes[i].p = [states][states]float64{}
		}
		b = b.changed(d, 0)
		for i := range b.nodes {
			b.nodes[i].p = [states][states]float64{}
		}
		return math.Sqrt(b.ahead(b.t+dt, 0).sum().within)
	}
	all := moves(1, 1e-6, 60)
	assert.True(t, all > 0.035 && all < 0.075, "%.3f of a pH", all)
	assert.InDelta(t, 1-math.Exp(-1), math.Pow(moves(1, 1e-6, 2.5)/all, 2), 0.12, "with 2.5 s")
	least := moves(0, 1e-6, 60)
	assert.True(t, least > 0.003 && least < 0.008, "%.4f", least)
	rough := moves(0, 0.03, 60)
	assert.True(t, rough > 0.5*0.03 && rough < 1.1*0.03, "%.4f beside noise of 0.03", rough)
}

// What is carried over to another beaker: that the electrode is another one has a chance of one in
// twenty or so, and the noise that was learned counts for 16 readings: a posterior of its
// variance after n others, of ν/2 half degrees of freedom,
// (8σ₀² + nσ²/2)/(8 + n/2) (the inverse gamma distribution is conjugate).
func TestWhatIsCarriedOver(t *testing.T) {
	k := Track(Unknown()).Resolve(0.0001)
	r := rand.New(rand.NewPCG(5, 5))
	for i := range 400 {
		y := 7.0
		if i > 100 {
			y = 8 - math.Exp(-float64(i-100)/3)
		}
		k = k.Push(float64(i), y+0.0015*r.NormFloat64())
	}
	e, fresh := k.Electrode(), Unknown()
	far, prior, all := 0.0, 0.0, 0.0
	for i, c := range allCells {
		all += math.Exp(fresh.logW[i])
		if fastGrid[c.fast] > 25 {
			far += math.Exp(e.logW[i])
			prior += math.Exp(fresh.logW[i])
		}
	}
	chance := far / (prior / all)
	assert.True(t, chance > 1.0/30 && chance < 1.0/13, "one in %.0f", 1/chance)

	const n, was, now = 20, 0.0015, 0.003
	h := e.hiss[0]
	firm := h.scale / h.shape // learned from 400
	got := (h.scale + n*now*now/2) / (h.shape + n/2)
	assert.InEpsilon(t, was*was, firm, 0.35)
	assert.InEpsilon(t, math.Sqrt((8*firm+n*now*now/2)/(8+n/2)), math.Sqrt(got), 0.03)
}

// A time constant that was known for sure, and lies on the grid, may be the neighbour's: half of
// the way there is a standard deviation.
func TestATimeConstantIsNotTakenOverForSure(t *testing.T) {
	f := Known{Tau: fastGrid[12], LargeLate: 0.2, Late: [3]float64{0.4, 0.3, 0.3}, Class: [3]float64{1, 0, 0}, Noise: [3]float64{0.001, 0.006, 0.024}, Firm: [3]float64{8, 2, 2}}
	sd := f.Electrode(0).Known().TauSD
	half := math.Log(fastGrid[13]/fastGrid[12]) / 2
	assert.InEpsilon(t, half, sd, 0.25)
}

// A spread of half of a hundredth is good enough for any meter: it is not waited for the last
// digits of laboratory glass, and one that is twice as wide is waited for where that helps.
func TestWhatIsGoodEnough(t *testing.T) {
	mean := 0.0
	for seed := range uint64(10) {
		r := rand.New(rand.NewPCG(seed, 4))
		k := Track(Unknown()).Resolve(0.0001)
		for at := 0.0; ; at++ {
			require.Less(t, at, 400.0)
			k = k.Push(at, 5-0.2*math.Exp(-at)+0.0003*r.NormFloat64())
			if e := k.Estimate(at); e.State == Settled {
				mean += e.SD / 10
				break
			}
		}
	}
	assert.True(t, mean > 0.004 && mean < 0.006, "%.4f", mean)
}

// What is known of electrodes before any reading has room for those that were recorded: laboratory
// glass with 0.2 to 4.6 % of a step after a minute within two standard deviations and a bit, an ISFET with 10 %.
func TestRecordedElectrodesAreReckonedWith(t *testing.T) {
	e := Unknown()
	least := map[float64]float64{0.002: 9, 0.046: 9, 0.10: 9}
	for _, n := range open(&e, 0, 7, 0.01).nodes {
		for s, z := range least {
			large := s > 0.05
			if large == (n.share == 1) {
				least[s] = math.Min(z, math.Abs(s-n.x[xShare])/math.Sqrt(n.p[xShare][xShare]))
			}
		}
	}
	for s, z := range least {
		assert.Less(t, z, 2.2, "%g", s)
	}
}

// Noise that has become five times smaller is known to have: of its variance one over e is left
// after sixty readings, σ² = σ₂² + (σ₁² − σ₂²)/e.
func TestNoiseIsForgotten(t *testing.T) {
	mean := 0.0
	for seed := range uint64(10) {
		r := rand.New(rand.NewPCG(seed, 3))
		k := Track(Unknown()).Resolve(0.0001)
		for i := range 300 {
			k = k.Push(float64(i), 7+0.010*r.NormFloat64())
		}
		for i := range 60 {
			k = k.Push(float64(300+i), 7+0.002*r.NormFloat64())
		}
		mean += k.Estimate(360).Noise / 10
	}
	want := math.Sqrt(4e-6 + (100e-6-4e-6)/math.E)
	assert.InEpsilon(t, want, mean, 0.15)
}

// A beaker at rest that wanders by a random walk of q = (0.0003 pH)² a second, read with white noise of
// a known variance v, is known to P = (√(q² + 4qv) − q)/2, the steady state of a Kalman filter of
// a local level (A. C. Harvey, Forecasting, Structural Time Series Models and the Kalman Filter, 1989,
// from memory), and a quarter less surely since a late part might hide in it.
func TestABeakerAtRestIsKnownAsALocalLevel(t *testing.T) {
	const q, noise = 0.0003 * 0.0003, 0.006
	sum, n := 0.0, 0.0
	for seed := range uint64(3) {
		r := rand.New(rand.NewPCG(seed, 3))
		k := Track(Unknown()).Resolve(0.0001)
		for i := range 800 {
			if k = k.Push(float64(i), 7+noise*r.NormFloat64()); i > 600 {
				sum, n = sum+k.bank.sum().within, n+1
			}
		}
	}
	level := math.Sqrt((math.Sqrt(q*q+4*q*noise*noise) - q) / 2)
	ratio := math.Sqrt(sum/n) / level
	t.Logf("%.2f times that of a local level, %.5f", ratio, level)
	assert.True(t, ratio > 1.05 && ratio < 1.45, "%.2f", ratio)
}

// One reading that is four standard deviations off speaks against a cell as one of three would of
// normal noise, z²/2 = 4.5: the log density of Student's t of five degrees of freedom is
// 3·ln(1 + 16/5) = 4.3 less there.
func TestAFewReadingsDoNotDecide(t *testing.T) {
	off, on := node{res: 4, pred: 1}, node{pred: 1}
	less := on.logLik(0) - off.logLik(0)
	assert.True(t, less > 3.8 && less < 4.8, "%.2f", less)
}

// A display that repeats itself does not speak for a slow electrode, which passes on less of what the
// beaker wanders. What a fast one is expected to scatter by is v + P with P = (q + √(q² + 4qv))/2, the
// variance of a local level before it is read (A. C. Harvey, as above); with v of a usual meter,
// 0.003, each cell is given as much.
func TestARepeatedReadingSpeaksForNoCell(t *testing.T) {
	const q, v = 0.0003 * 0.0003, 0.003 * 0.003
	fast := node{pred: v + (q+math.Sqrt(q*q+4*q*v))/2}
	slow := node{pred: v * 1.01}
	assert.InDelta(t, fast.logLik(v), slow.logLik(v), 0.02, "a reading: 1 in a minute")
	// With half of that noise a fast one scatters by more than that, which counts as it is.
	quiet := node{pred: v/4 + (q+math.Sqrt(q*q+q*v))/2}
	assert.InDelta(t, -0.5*math.Log(quiet.pred), quiet.logLik(v/4), 1e-9)
}

// A beaker that mixes with 1 to 3 s has e^−1 to e^−⅓, 0.37 to 0.72, of a difference left after a second:
// what is left is known to some tenths of it.
func TestHowItMixesIsNotKnown(t *testing.T) {
	n := node{x: [states]float64{xMix: 1}}
	p := paceOf(1, []node{n})
	n.ahead(&p, 0)
	assert.True(t, n.x[xMix] > 0.37 && n.x[xMix] < 0.72, "%.2f", n.x[xMix])
	sd := math.Sqrt(n.p[xMix][xMix])
	assert.True(t, sd > 0.16 && sd < 0.4, "%.2f", sd)
}

// A reading far out tells of the noise as one of about three standard deviations does, beyond which
// noise lies once in 370.
func TestOneReadingFarOutIsNoNoise(t *testing.T) {
	b := stood().bank.ahead(91, wander)
	class := b.nodes[0].noise
	h, v := b.hiss[class], b.noises()[class]
	b.expect(5 + 12*math.Sqrt(v))
	b.learn(false)
	times := 2 * (b.hiss[class].scale - noiseKeep*h.scale) / v
	assert.True(t, times > 2.4*2.4 && times < 3.6*3.6, "%.1f", times)
}
