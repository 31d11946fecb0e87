package settle_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/halfdrop/meter/settle"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// approach is a step that spreads through mixing and electrode, both first
// order: their series is two exponentials, not those that settle assumes.
type approach struct{ from, to, tau, mix, noise, res float64 }

func (a approach) at(t float64) float64 {
	g := (a.tau*math.Exp(-t/a.tau) - a.mix*math.Exp(-t/a.mix)) / (a.tau - a.mix)
	return a.to + (a.from-a.to)*g
}

// shown is the reading at t with noise and the meter's resolution.
func (a approach) shown(t float64, r *rand.Rand) float64 {
	return math.Round((a.at(t)+a.noise*r.NormFloat64())/a.res) * a.res
}

// accepted is what the judgement was when it first called the reading settled.
type accepted struct{ err, z, wait float64 }

// follow waits for each of three steps in turn, one reading a second, and
// carries what was learned from one to the next.
func follow(r *rand.Rand, tau, noise float64) []accepted {
	var out []accepted
	l := settle.Fresh()
	for _, size := range []float64{1.5, 0.4, 0.05} {
		a := approach{from: 5, to: 5 + size, tau: tau, mix: 1 + 2*r.Float64(), noise: noise, res: 0.01}
		w := settle.Window{From: a.from, Expected: a.to + 0.1*size*r.NormFloat64(), Resolution: a.res}
		for s := 1.0; s < 300; s++ {
			w = w.Push(s, a.shown(s, r))
			if e := l.Estimate(w, s); e.State == settle.Settled {
				err := math.Abs(e.End - a.to)
				out = append(out, accepted{err, err / e.SD, s})
				break
			}
		}
		l = l.Learn(w)
	}
	return out
}

// benches is how many electrodes TestEndValue takes three steps with.
const benches = 24

// TestEndValue drives healthy, slow and noisy electrodes (time constants and
// noise of the issue: 3–40 s, up to 0.02).
func TestEndValue(t *testing.T) {
	for _, tier := range []struct {
		name          string
		lo, hi, noise float64
		within        float64 // least share of accepted values within 0.01 of the end value
	}{
		{"healthy", 3, 10, 0.005, 0.98},
		{"slow", 8, 28, 0.01, 0.97},
		{"poor", 3, 40, 0.02, 0.95},
	} {
		t.Run(tier.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(3, 4))
			var all []accepted
			for range benches {
				all = append(all, follow(r, tier.lo+(tier.hi-tier.lo)*r.Float64(), tier.noise)...)
			}
			require.Len(t, all, 3*benches, "every step is accepted in the end")
			near, wait := 0, 0.0
			zs := make([]float64, 0, len(all))
			for _, a := range all {
				if a.err <= 0.01 {
					near++
				}
				wait += a.wait
				zs = append(zs, a.z)
			}
			slices.Sort(zs)
			share := float64(near) / float64(len(all))
			t.Logf("within 0.01: %.3f, mean wait %.0f s, error/spread median %.2f, 95 %% %.2f", share, wait/float64(len(all)), zs[len(zs)/2], zs[len(zs)*95/100])
			assert.GreaterOrEqual(t, share, tier.within)
			assert.Less(t, zs[len(zs)*95/100], 2.6, "the spread is honest")
		})
	}
}

func TestNothingIsNotSettled(t *testing.T) {
	e := settle.Fresh().Estimate(settle.Window{}, 100)
	require.Equal(t, settle.Empty, e.State)
	require.True(t, math.IsInf(e.SD, 1))
}

// TestDeadTimeIsNotSettled: readings that have not yet begun to follow an
// addition are flat, and flat is not final.
func TestDeadTimeIsNotSettled(t *testing.T) {
	w := settle.Window{Since: 0, From: 6.00, Expected: 6.50, Resolution: 0.01}
	for s := 1.0; s <= 8; s++ {
		w = w.Push(s, 6.00)
	}
	e := settle.Fresh().Estimate(w, 8)
	require.NotEqual(t, settle.Settled, e.State)
	require.Greater(t, e.SD, 0.2)
}

func TestPushLeavesTheOldWindow(t *testing.T) {
	w := settle.Window{}
	for s := range 10 {
		w = w.Push(float64(s), 7)
	}
	a, b := w.Push(10, 1), w.Push(10, 2)
	require.Equal(t, 1.0, a.Bins()[10].Y)
	require.Equal(t, 2.0, b.Bins()[10].Y)
	require.Equal(t, 10, w.Len())
}

func TestFastMeterIsBinned(t *testing.T) {
	w := settle.Window{}
	for i := range 100 {
		w = w.Push(float64(i)*0.1, 7+0.01*float64(i%2))
	}
	require.Equal(t, 20, w.Len())
	for _, b := range w.Bins() {
		require.Equal(t, 5, b.N)
	}
}

func BenchmarkEstimate(b *testing.B) {
	w := settle.Window{Resolution: 0.01}
	for s := range 60 {
		w = w.Push(float64(s), 7-math.Exp(-float64(s)/8))
	}
	l := settle.Fresh()
	b.ReportAllocs()
	for b.Loop() {
		l.Estimate(w, 60)
	}
}
