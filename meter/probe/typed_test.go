package probe_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
)

// display is what a meter with two decimals shows, read by somebody who looks at it.
func display(g *glass, t float64) float64 {
	g.to(t)
	return math.Round(g.read()*100) / 100
}

func typist() probe.Tracker { return probe.Track(probe.Unknown()).Resolve(0.01) }

// looker is a person at a display, who types what it shows every 20 to 60 s, and says
// that it stands when it has shown one number, give or take a digit, for ten seconds.
type looker struct {
	*glass
	r     *rand.Rand
	k     probe.Tracker
	clock float64
	shown []float64
}

// look is until the next value is typed.
func (x *looker) look() probe.Estimate {
	x.wait(20 + 40*x.r.Float64())
	low, high := slices.Min(x.shown), slices.Max(x.shown)
	x.k = x.k.Type(x.clock, x.shown[len(x.shown)-1], high-low < 0.015)
	return x.k.Estimate(x.clock)
}

func (x *looker) wait(seconds float64) {
	for end := x.clock + math.Round(seconds); x.clock < end; {
		x.clock++
		x.shown = append(x.shown, display(x.glass, x.clock))
		x.shown = x.shown[max(0, len(x.shown)-10):]
	}
}

// add lets drops fall for some seconds, which are put on record a little later.
func (x *looker) add(step float64) {
	took := 5 + 20*x.r.Float64()
	for range int(took) {
		x.pool += step / math.Floor(took)
		x.wait(1)
	}
	x.wait(1 + 6*x.r.Float64())
	x.k, _ = x.k.Give(probe.Addition{Seq: int64(x.clock), T: x.clock, From: math.NaN(), Step: step * (0.8 + 0.4*x.r.Float64()), SD: 0.1 * math.Abs(step), Take: took})
}

// A value that is typed is worth its spread, in passing and said to stand, the first of a
// run and of a composition and later ones: the electrode is none of the package. With an
// old one, of which a tenth may come minutes late, three quarters are; before it has been
// seen to creep two in three. A display that flickers by some hundredths is between.
func TestATypedValueIsWorthItsSpread(t *testing.T) {
	const runs = 50
	for _, tt := range []struct {
		kind
		least float64 // share within two spreads, at the least
		wide  float64 // spreads, times what they are off at the most
	}{{kinds[0], 0.90, 1.8}, {kinds[1], 0.95, 2.1}, {kinds[2], 0.85, 1.45}, {kinds[3], 0.70, 1.2}} {
		type sum struct{ n, within, errs, spreads float64 }
		var all [2][2]sum // of the first composition, then later ones; the first value, then the second
		for seed := range uint64(runs) {
			r := rand.New(rand.NewPCG(seed, 8))
			x := &looker{glass: newGlass(tt.kind, seed, 4+3*r.Float64(), 3+7*r.Float64()), r: r, k: typist()}
			x.digits = 2
			for c, step := range []float64{0, 1.5, 0.5, 0.1} {
				if c > 0 {
					x.add(step * (0.7 + 0.6*r.Float64()))
				}
				for v := range 2 {
					e, s := x.look(), &all[min(c, 1)][v]
					off := e.End - x.pool
					s.n++
					s.errs += off * off
					s.spreads += e.SD * e.SD
					if math.Abs(off) <= 2*e.SD {
						s.within++
					}
				}
			}
		}
		for c, which := range []string{"first composition", "later ones"} {
			for v, s := range all[c] {
				t.Logf("%s, %s, value %d: %.0f %% of %.0f within two spreads; off by %.3f, spread %.3f", tt.name, which, v+1, 100*s.within/s.n, s.n, math.Sqrt(s.errs/s.n), math.Sqrt(s.spreads/s.n))
				assert.GreaterOrEqual(t, s.within/s.n, tt.least-0.1*float64(1-c), "%s, %s, value %d", tt.name, which, v+1)
				if c > 0 { // where it came from is not known before
					assert.Less(t, math.Sqrt(s.spreads/s.errs), tt.wide, "%s, %s, value %d: no wider than it has to be", tt.name, which, v+1)
				}
			}
		}
	}
}

func TestAValueThatStands(t *testing.T) {
	k := typist().Type(10, 7.42, true)
	e := k.Estimate(10)
	assert.Equal(t, probe.Settled, e.State)
	assert.Equal(t, 7.42, e.Now)
	assert.InDelta(t, 7.42, e.End, e.SD)
	assert.Less(t, e.FinalSD, e.SD, "another value would make it better")
	assert.True(t, k.Stands())
	in := typist().Type(10, 7.42, false)
	assert.Equal(t, probe.Settling, in.Estimate(10).State)
	assert.Greater(t, in.Estimate(10).SD, 5*e.SD, "one value in passing says little")
	assert.False(t, in.Stands())

	k, _ = k.Give(probe.Addition{Seq: 1, T: 20, From: math.NaN(), Step: 0.1, SD: 0.01})
	assert.False(t, k.Type(28, 7.52, true).Stands(), "nobody can have watched it since")
	assert.True(t, k.Type(30, 7.52, true).Stands())
}

func TestTwoValuesThatAgreeStand(t *testing.T) {
	for _, tt := range []struct {
		apart, off float64
		stands     bool
	}{{20, 0, true}, {20, 0.01, true}, {20, 0.02, false}, {15, 0, false}, {27, 0, true}} {
		k := typist().Type(10, 7.42, false).Type(10+tt.apart, 7.42+tt.off, false)
		assert.Equal(t, tt.stands, k.Stands(), "%v", tt)
	}
	k := typist().Type(0, 7.42, true)
	k, _ = k.Give(probe.Addition{Seq: 1, T: 30, From: math.NaN(), Step: 0.1, SD: 0.01})
	assert.True(t, k.Unread())
	assert.False(t, k.Type(60, 7.42, false).Stands(), "not with one from before the addition")
}

func TestAValueAfterAnAdditionAlwaysCounts(t *testing.T) {
	for _, to := range []float64{7.5, 7.6, 9.4, 4.1} { // foretold, and not at all
		k := typist().Type(0, 7.42, true)
		k, g := k.Give(probe.Addition{Seq: 1, T: 20, From: math.NaN(), Step: 0.1, SD: 0.01})
		assert.Equal(t, 7.42, g.Before.Now)
		k = k.Type(60, to, false).Type(75, to, false)
		assert.InDelta(t, to, k.Estimate(75).End, 0.15, "after %g", to)
		assert.Empty(t, k.Moves(), "it is that of the addition")
	}
}

func TestAValueThatHasLeftItsLevelIsAMove(t *testing.T) {
	for _, tt := range []struct {
		off  float64
		move bool
	}{{0.03, false}, {0.04, false}, {0.08, true}, {0.5, true}} {
		k := typist().Type(0, 7.42, true).Type(40, 7.42, true).Type(80, 7.42+tt.off, true)
		assert.Len(t, k.Moves(), map[bool]int{true: 1}[tt.move], "%v", tt)
		if tt.move {
			k, g := k.Give(probe.Addition{Seq: 1, T: 90, From: math.NaN(), Step: 0.1, SD: 0.01})
			assert.Empty(t, k.Moves())
			assert.Equal(t, 7.42, g.Before.Now)
			assert.True(t, k.Stands(), "what was typed is of the beaker with it")
			assert.False(t, k.Unread())
		}
	}
}

// A value that is typed where a line was read before counts like a first one: the end is
// near it, and no electrode is missing.
func TestTypedAfterALine(t *testing.T) {
	k := typist().Push(1, 5.10).Push(2, 5.11).Type(40, 5.10, true)
	e := k.Estimate(40)
	assert.InDelta(t, 5.10, e.End, 0.1)
	assert.Greater(t, e.SD, 0.0)
	e = k.Type(70, 5.10, true).Estimate(70)
	assert.InDelta(t, 5.10, e.End, 0.02)
}

// A number that is misread by three digits where the display stood at another for minutes is no
// movement of the beaker.
func TestANumberThatIsMisread(t *testing.T) {
	for _, off := range []float64{-0.04, 0.03, 0.04} {
		k := typist()
		for i := range 8 {
			k = k.Type(30*float64(i), 7.42, true)
		}
		k = k.Type(240, 7.42+off, true)
		assert.Empty(t, k.Moves(), "%g", off)
	}
}

// A number that is typed while drops fall, in passing, is of no beaker: the addition is put on record,
// the next number is far from it, and nothing has moved by itself; until it is typed nobody knows
// where the beaker is. That of a display that stood is of the beaker with the addition.
func TestAValueTypedWhileDropsFall(t *testing.T) {
	for _, stood := range []bool{false, true} {
		k := typist().Type(0, 7.42, true).Type(40, 7.10, stood)
		k, g := k.Give(probe.Addition{Seq: 1, T: 46, From: 30, Step: -0.8, SD: 0.1})
		assert.Equal(t, 7.42, g.Before.Now)
		assert.Equal(t, !stood, k.Unread())
		if !stood {
			for _, y := range []float64{6.6, 6.1} {
				after := k.Type(66, y, false)
				assert.Empty(t, after.Moves(), "%g", y)
				e := after.Estimate(66)
				assert.InDelta(t, y, e.End, 3*e.SD, "%g", y)
				assert.Less(t, e.SD, 0.4)
			}
		}
	}
}

// Nor is a number typed in passing some seconds after an addition was put on record: it is mixing in.
// Half a minute after it a number that is left is one that nobody explains.
func TestAValueTypedWhileItMixes(t *testing.T) {
	for after, moved := range map[float64]bool{5: false, 14: false, 32: true, 60: true} {
		k := typist().Type(0, 7.42, true)
		k, _ = k.Give(probe.Addition{Seq: 1, T: 20, From: math.NaN(), Step: -0.8, SD: 0.1, Take: 5})
		k = k.Type(20+after, 6.6, false).Type(60+after, 6.0, false).Type(85+after, 6.0, false)
		assert.Equal(t, moved, len(k.Moves()) > 0, "typed %g s after", after)
	}
}
