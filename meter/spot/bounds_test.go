package spot_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/spot"
)

// names reports whether a fault is among what is seen.
func names(all []spot.Finding, f spot.Fault) bool {
	return slices.ContainsFunc(all, func(x spot.Finding) bool { return x.Fault == f })
}

// turns is a reading that goes to and fro between two values, so many times, once in so many seconds.
func turns(n int, each float64) func(float64) float64 {
	return func(a float64) float64 {
		k := math.Min(math.Floor(a/each), float64(n))
		return 7 + math.Mod(k, 2)
	}
}

// spiked adds a base that brings the reading from 9 up by a step, past it by so much at an age and back.
func spiked(b *bench, step, by, age float64, times int) {
	y := 9.0
	b.says(60, constant(y))
	for range times {
		to := y + step
		b.adds(to, true)
		b.says(60, func(a float64) float64 {
			return to - step*math.Exp(-a/2) + by*math.Exp(-(a-age)*(a-age)/9)
		})
		y = to
	}
}

// TestSignsBeginWhereASoundRunEnds: every sign has a size from which on it is one. What is a
// sixth or more smaller is said of no run, what is so much larger is named.
func TestSignsBeginWhereASoundRunEnds(t *testing.T) {
	for _, c := range []struct {
		what        string
		fault       spot.Fault
		sound, sign float64
		story       func(b *bench, v float64)
	}{
		{"pH by which an electrode in the air comes and goes", spot.DryTip, 0.42, 0.63, func(b *bench, v float64) {
			b.says(40, func(a float64) float64 { return 7 + v/2*math.Sin(a/2.2) })
		}},
		{"times that it does", spot.DryTip, 2, 3, func(b *bench, v float64) { b.says(40, turns(int(v), 6)) }},
		{"s between them", spot.DryTip, 17, 7.5, func(b *bench, v float64) { b.says(int(4*v)+4, turns(4, v)) }},
		{"s that it is looked at", spot.DryTip, 23, 33, func(b *bench, v float64) {
			*b = *newBench()
			b.says(int(v), turns(20, 4))
		}},
		{"pH/s of an open input", spot.Lead, 0.0148, 0.0222, func(b *bench, v float64) {
			b.says(60, func(a float64) float64 { return 10.2 - v*a })
		}},
		{"s that it goes on", spot.Lead, 29, 48, func(b *bench, v float64) {
			b.says(int(v), func(a float64) float64 { return 10.2 - 0.03*a })
		}},
		{"s after an addition in which it goes on", spot.Lead, 68, 92, func(b *bench, v float64) {
			b.adds(9, true)
			b.says(int(v), func(a float64) float64 { return 10.2 - 0.03*a })
		}},
		{"s in which it would come to rest", spot.Lead, 310, 530, func(b *bench, v float64) {
			b.sd = 0.0005
			b.says(60, func(a float64) float64 { return 10.2 - 0.04*v*(1-math.Exp(-a/v)) })
		}},
		{"pH from where it may start, of a reading that stands", spot.Cap, 0.25, 0.36, func(b *bench, v float64) {
			*b = *newBench()
			b.says(30, constant(9.8-v))
		}},
		{"pH by which a reading moves that does not stand", spot.Cap, 0.17, 0.10, func(b *bench, v float64) {
			*b = *newBench()
			b.sd = 0.001
			b.says(40, func(a float64) float64 { return 6 + v*math.Min(a, 15)/15 })
		}},
		{"pH from 7, of a reading with no voltage", spot.Cracked, 0.19, 0.12, func(b *bench, v float64) {
			*b = *newBench()
			b.says(30, constant(7-v))
		}},
		{"pH of a jump", spot.Wiped, 0.08, 0.13, func(b *bench, v float64) {
			b.says(15, func(a float64) float64 { return 10.2 + v*math.Exp(-a/25) })
		}},
		{"pH of a jump to another beaker", spot.Wiped, 1.0, 0.65, func(b *bench, v float64) {
			b.says(15, func(a float64) float64 { return 10.2 - v*math.Exp(-a/25) })
		}},
		{"s in which a jump fades", spot.Wiped, 105, 60, func(b *bench, v float64) {
			b.sd = 0.0005
			b.says(15, func(a float64) float64 { return 10.2 + 0.3*math.Exp(-a/v) })
		}},
		{"s since it jumped", spot.Wiped, 72, 49, func(b *bench, v float64) {
			b.says(int(v), func(a float64) float64 { return 10.2 + 0.3*math.Exp(-a/40) })
		}},
		{"of a jump, by which it came and went before", spot.Wiped, 0.63, 0.40, func(b *bench, v float64) {
			b.says(6, func(a float64) float64 {
				if a == 4 {
					return 10.2 + 0.3*v
				}
				return 10.2
			})
			b.says(15, func(a float64) float64 { return 10.2 + 0.3*math.Exp(-a/25) })
		}},
		{"pH by which the first reading comes back from what is still at the electrode", spot.CarryOver, 0.16, 0.25, func(b *bench, v float64) {
			*b = *newBench()
			b.sd, b.at = 0.0005, 10.2-v-0.12
			b.shows(90, func(a float64) float64 { return 10.2 - v*math.Exp(-a/45) })
		}},
		{"the same, of the whole way", spot.CarryOver, 1.0, 2.2, func(b *bench, v float64) {
			*b = *newBench()
			b.shows(90, func(a float64) float64 { return 10.2 - v*math.Exp(-a/45) })
		}},
		{"pH that a reading goes too far, of a step of 1.2", spot.Zones, 0.088, 0.131, func(b *bench, v float64) {
			*b = *newBench()
			b.sd = 0.0005
			spiked(b, 1.2, v, 10, 1)
		}},
		{"the same of a small step, once", spot.Zones, 0.061, 0.098, func(b *bench, v float64) {
			*b = *newBench()
			b.sd = 0.0005
			spiked(b, 0.5, v, 10, 1)
		}},
		{"the same, twice", spot.Zones, 0.0178, 0.0285, func(b *bench, v float64) {
			*b = *newBench()
			b.sd = 0.0005
			spiked(b, 0.18, v, 10, 2)
		}},
		{"s until it turns", spot.Zones, 33, 19, func(b *bench, v float64) {
			*b = *newBench()
			b.sd = 0.0005
			spiked(b, 0.5, 0.3, v, 1)
		}},
		{"pH a minute of a drift", spot.Hole, 0.0145, 0.022, func(b *bench, v float64) {
			*b = *newBench()
			b.says(260, func(a float64) float64 { return 10.2 + v/60*a })
		}},
		{"s that it goes on", spot.Hole, 160, 225, func(b *bench, v float64) {
			*b = *newBench()
			b.says(int(v), func(a float64) float64 { return 10.2 + 0.0008*a })
		}},
		{"s in which it would come to rest", spot.Hole, 640, 1250, func(b *bench, v float64) {
			*b = *newBench()
			b.sd = 0.001
			b.says(230, func(a float64) float64 { return 10 + 0.001*v*(1-math.Exp(-a/v)) })
		}},
		{"s that it goes on, away from the last step", spot.Hole, 34, 62, func(b *bench, v float64) {
			b.sd = 0.0005
			b.adds(9.5, true)
			b.says(40, func(a float64) float64 { return 9.5 + 0.7*math.Exp(-a/2) })
			b.says(int(v), func(a float64) float64 { return 9.5 + 0.0005*a })
		}},
		{"s in which it would come to rest there", spot.Hole, 33, 60, func(b *bench, v float64) {
			b.sd = 0.0005
			b.adds(9.5, true)
			b.says(40, func(a float64) float64 { return 9.5 + 0.7*math.Exp(-a/2) })
			b.says(62, func(a float64) float64 { return 9.5 + 0.045*(1-math.Exp(-a/v)) })
		}},
		{"pH that an addition is to do, of which nothing shows", spot.Unstirred, 0.067, 0.098, func(b *bench, v float64) {
			b.sd = 0.001
			b.adds(10.2-v, true)
			b.says(14, constant(10.2))
			b.shows(50, constant(10.2-v))
		}},
		{"s until it shows", spot.Unstirred, 7, 13, func(b *bench, v float64) {
			b.sd = 0.001
			b.adds(9, true)
			b.says(int(v+0.5), constant(10.2))
			b.shows(50, constant(9))
		}},
		{"pH of noise in which nothing of a step of 0.12 shows", spot.Unstirred, 0.0095, 0.0065, func(b *bench, v float64) {
			b.sd = v
			b.adds(10.32, true)
			b.says(14, constant(10.2))
			b.shows(50, constant(10.32))
		}},
		{"s, time constant of a slow electrode", spot.Aged, 13, 20, func(b *bench, v float64) {
			*b = *newBench()
			b.sd = 0.0005
			b.says(170, func(a float64) float64 { return 10.2 - 3.2*math.Exp(-a/v) })
		}},
		{"pH by which a slow reading comes and goes", spot.Clogged, 0.0042, 0.0085, func(b *bench, v float64) {
			*b = *newBench()
			b.sd = 0.0005
			b.says(170, func(a float64) float64 { return 10.2 - 3.2*math.Exp(-a/35) + v*math.Sqrt2*math.Sin(a/4) })
		}},
	} {
		b := begun()
		c.story(b, c.sound)
		assert.False(t, names(b.sees(), c.fault), "%s: %s by %g", c.what, c.fault, c.sound)
		b = begun()
		c.story(b, c.sign)
		got := b.sees()
		assert.True(t, names(got, c.fault), "%s: no %s by %g: %v", c.what, c.fault, c.sign, got)
	}
}

// noisy is a beaker with so much noise before, and readings that go to and fro by so much from
// second to second since, with a spike among them, and at last by less.
func noisy(before, scatter, spike, last float64, seconds int) *bench {
	b := newBench()
	b.sd = before
	b.shows(60, constant(10.2))
	b.adds(9, true)
	b.shows(60, constant(9))
	b.sd = 0
	by := 4 / 0.6745 / math.Sqrt(6) // of the amplitude, as a standard deviation, by second differences
	b.says(36, func(a float64) float64 {
		y := 9 + scatter/by*math.Cos(math.Pi*a)*(0.8+0.4*math.Mod(a*0.37, 1))
		if a == 28 {
			y += spike
		}
		return y
	})
	b.says(seconds, func(a float64) float64 { return 9 + last/by*math.Cos(math.Pi*a) })
	b.sd = before
	return b
}

// TestBubblesAreLoudNow: bubbles are many times louder than the run was before, with spikes, and
// they go on: what has been quiet for some seconds is over.
func TestBubblesAreLoudNow(t *testing.T) {
	for _, c := range []struct {
		what                         string
		before, scatter, spike, last float64
		seconds                      int
		named                        bool
	}{
		{"twelve times as loud", 0.004, 0.05, 0.3, 0.05, 1, true},
		{"four times and a half as loud", 0.004, 0.0217, 0.3, 0.0217, 1, false},
		{"seven times as loud as next to nothing", 0.001, 0.0155, 0.3, 0.0155, 1, false},
		{"nine times as loud as next to nothing", 0.001, 0.021, 0.3, 0.021, 1, true},
		{"with small spikes", 0.001, 0.024, 0.034, 0.024, 1, false},
		{"with no spike", 0.004, 0.021, 0, 0.021, 1, false},
		{"quiet for five seconds", 0.004, 0.06, 0.3, 0, 5, true},
		{"quiet for seven", 0.004, 0.06, 0.3, 0, 7, false},
		{"quiet for ten", 0.004, 0.06, 0.3, 0, 10, false},
		{"three times as loud at last", 0.004, 0.06, 0.3, 0.0125, 12, true},
		{"two and a half times as loud at last", 0.004, 0.06, 0.3, 0.0105, 12, true},
		{"hardly louder at last", 0.004, 0.06, 0.3, 0.0055, 12, false},
	} {
		got := noisy(c.before, c.scatter, c.spike, c.last, c.seconds).sees()
		assert.Equal(t, c.named, names(got, spot.Vortex), "%s: %v", c.what, got)
	}
}

// TestNoiseIsNoClog: what a slow electrode shows when its readings scatter is an old electrode, not one that
// comes and goes.
func TestNoiseIsNoClog(t *testing.T) {
	for seed := range uint64(12) {
		b := newBench()
		b.rnd = rand.New(rand.NewPCG(seed, 9))
		b.sd = 0.010
		b.says(170, func(a float64) float64 { return 10.2 - 3.2*math.Exp(-a/35) })
		got := b.sees()
		assert.True(t, names(got, spot.Aged), "%v", got)
		assert.False(t, names(got, spot.Clogged), "%v", got)
	}
}

// TestClogIsSeenThroughTheNoise: six seconds of white noise of 0.010 average to 0.0041, and it is
// twice the square of that which is left out: coming and going by 0.0125 stays above, by
// 0.003 does not.
func TestClogIsSeenThroughTheNoise(t *testing.T) {
	seen := map[float64]int{}
	for seed := range uint64(20) {
		for _, v := range []float64{0.003, 0.0125} {
			b := newBench()
			b.rnd = rand.New(rand.NewPCG(seed, 9))
			b.sd = 0.010
			b.says(170, func(a float64) float64 { return 10.2 - 3.2*math.Exp(-a/35) + v*math.Sqrt2*math.Sin(a/4) })
			if names(b.sees(), spot.Clogged) {
				seen[v]++
			}
		}
	}
	assert.Zero(t, seen[0.003])
	assert.GreaterOrEqual(t, seen[0.0125], 16)
}

// TestStandardsThatWereExchanged: whoever put 7.00 into the jar of 4.01 and the other way round
// (phthalate and phosphate, NIST, 25 °C) reads 11.01 less the true pH. A first reading that is off
// by just that may also be a beaker that was titrated before; any other is another salt.
func TestStandardsThatWereExchanged(t *testing.T) {
	for ph, want := range map[float64]spot.Fault{6.4: spot.Unlogged, 6.8: spot.Unlogged, 7.8: spot.WrongSalt, 2.2: spot.WrongSalt} {
		b := newBench()
		b.at = ph + 2
		b.shows(100, constant(ph))
		c := additions()
		c.StartLow, c.StartHigh = 4.1, 4.6
		c.T, c.Stops[0].PH, c.Stops[0].Extra = b.t, ph, 0.8*c.Buffer
		got := b.eye.Look(c)
		assert.True(t, names(got, want), "%g: %v", ph, got)
	}
}

// TestHangingDropsAreSeenThroughTheScatter: the account of drops that hang on the tip has to fit better by far,
// which depends on how well the readings are known.
func TestHangingDropsAreSeenThroughTheScatter(t *testing.T) {
	for sd, named := range map[float64]bool{0.0092: true, 0.0121: false} {
		c := additions(1, 1, 1, 1, 1, 1)
		for i := range c.Doses {
			c.Doses[i].Drops, c.Stops[i+1].Extra = 4, float64(i%2-1)*0.25e-3
		}
		for i := range c.Stops {
			c.Stops[i].SD = sd
		}
		assert.Equal(t, named, names(spot.Open(0).Look(c), spot.Hung), "%g pH", sd)
	}
}

// TestResponsesBeginWhereChanceEnds: the same of what additions did, over what their labels say.
func TestResponsesBeginWhereChanceEnds(t *testing.T) {
	look := func(c spot.Case) []spot.Finding { return spot.Open(0).Look(c) }
	drops := func(c spot.Case, n float64, capacity float64) spot.Case {
		for i := range c.Doses {
			c.Doses[i].Drops = n
		}
		for i := range c.Stops {
			c.Stops[i].SD, c.Stops[i].Capacity = 1e-5, capacity
		}
		return c
	}
	read := func(c spot.Case, sd float64) spot.Case {
		for i := range c.Stops {
			c.Stops[i].SD = sd
		}
		return c
	}
	for _, c := range []struct {
		what        string
		fault       spot.Fault
		sound, sign float64
		of          func(v float64) spot.Case
	}{
		{"of the label, of a weak bottle", spot.WeakTitrant, 0.73, 0.55, func(v float64) spot.Case { return additions(v, v, v, v) }},
		{"of the label, of large drops", spot.Dropper, 1.25, 1.48, func(v float64) spot.Case { return additions(v, v, v, v) }},
		{"the same, where half of the buffer is thought of", spot.HalfBuffer, 1.42, 1.62, func(v float64) spot.Case {
			c := additions(v, v, v, v)
			c.Suspects = []string{"amount:0.5"}
			return c
		}},
		{"pH by which a reading moves that an electrode did not stay at", spot.Cap, 0.31, 0.2, func(v float64) spot.Case {
			c := additions(0.05, 0.05) // as much as another buffer answers, or an electrode under its cap creeps
			c.Stops[1].PH, c.Stops[2].PH = c.Stops[0].PH+v, c.Stops[0].PH
			return c
		}},
		{"of the others, of a drop that missed", spot.Missed, 0.32, 0.19, func(v float64) spot.Case { return additions(1, v, 1) }},
		{"pH to which the readings are known, by which it missed", spot.Missed, 0.0178, 0.0116, func(v float64) spot.Case {
			return read(additions(1, 0, 1), v)
		}},
		{"pH to which the readings are known, by which more was given", spot.Unlogged, 0.0107, 0.006, func(v float64) spot.Case {
			return read(additions(1, 1, 1, 1.72, 1), v)
		}},
		{"mol per pH where a wrong way can be told", spot.WrongTitrant, 0.094, 0.062, func(v float64) spot.Case {
			c := additions(-1)
			c.Stops[0].Capacity, c.Stops[1].Capacity = v, v
			return c
		}},
		{"of the label, of one drop that was more", spot.Unlogged, 1.41, 1.64, func(v float64) spot.Case {
			return drops(additions(1, 1, 1, v, 1), 1, 2e-3)
		}},
		{"the same of four hundred, where the curve's shape counts", spot.Unlogged, 1.13, 1.19, func(v float64) spot.Case {
			return drops(additions(1, 1, 1, v, 1), 400, 2e-3)
		}},
		{"by which a scale that is off changes it", spot.Unlogged, 10, 5, func(v float64) spot.Case {
			did := 2.3
			if v < 7 {
				did = 2.05
			}
			c := additions(1, 1, 1, did)
			c.Stops[4].Capacity += v * 1e-3
			return c
		}},
		{"by which a meter that nobody calibrated changes it", spot.Dropper, 0.76, 0.48, func(v float64) spot.Case {
			c := additions(1.5, 1.5, 1.5, 1.5)
			for i := range c.Stops {
				c.Stops[i].Capacity += v * 1e-3 * float64(i)
			}
			return c
		}},
	} {
		got := look(c.of(c.sound))
		assert.False(t, names(got, c.fault), "%s: %s by %g: %v", c.what, c.fault, c.sound, got)
		got = look(c.of(c.sign))
		assert.True(t, names(got, c.fault), "%s: no %s by %g: %v", c.what, c.fault, c.sign, got)
	}
	require.NotEmpty(t, look(additions(0.5, 0.5, 0.5, 0.5)))
}
