package settle_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/halfdrop/meter/settle"
	"github.com/stretchr/testify/require"
)

// electrode is a mixing lag and an electrode with a slow part, each of first
// order, followed in steps of a tenth of a second: not the closed form that
// settle computes with.
type electrode struct {
	near, fast, slow     float64
	mix, tau, share, far float64
}

func (e *electrode) second(beaker float64) {
	const h = 0.1
	for range 10 {
		e.near += (beaker - e.near) * (1 - math.Exp(-h/e.mix))
		e.fast += (e.near - e.fast) * (1 - math.Exp(-h/e.tau))
		e.slow += (e.near - e.slow) * (1 - math.Exp(-h/(e.far*e.tau)))
	}
}

func (e *electrode) shows() float64 { return (1-e.share)*e.fast + e.share*e.slow }

// TestStillMoving: an addition comes while the electrode is on its way down from
// its rinse, and turns it round; one electrode in four has a slow part. The end
// value is said with an honest spread from the first seconds on.
func TestStillMoving(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	var z []float64
	for i := range 40 {
		tau, share := 3+12*r.Float64(), 0.0
		if i%4 == 0 { // as common as the prior has it
			share = 0.2 * r.Float64()
		}
		e := electrode{near: 2.43, fast: 7, slow: 7, mix: 1 + 2*r.Float64(), tau: tau, share: share, far: 4}
		l := settle.Fresh()
		w := settle.Window{From: math.NaN(), Expected: math.NaN(), Resolution: 0.01}
		read := func() float64 { return math.Round((e.shows()+0.004*r.NormFloat64())*100) / 100 }
		s := 0.0
		for s < math.Ceil(1.8*tau) {
			s++
			e.second(2.43)
			w = w.Push(s, read())
		}
		was := l.Estimate(w, s)
		carry := l.Carry(w, s)
		l = l.Learn(w)
		w = settle.Window{Since: s, From: was.Now, Expected: 3.0, Doubt: 0.15, Resolution: 0.01, Carry: carry}
		for age := 1.0; age <= 6*tau; age++ {
			s++
			e.second(3.08)
			w = w.Push(s, read())
			est := l.Estimate(w, s)
			z = append(z, math.Abs(est.End-3.08)/est.SD)
		}
	}
	slices.Sort(z)
	n := len(z)
	t.Logf("error/spread: median %.2f, 95 %% %.2f, 99 %% %.2f, worst %.1f (n %d)", z[n/2], z[n*95/100], z[n*99/100], z[n-1], n)
	require.Less(t, z[n*95/100], 2.2)
	// The tail of a small slow part does not show in the first seconds.
	require.Less(t, z[n*99/100], 5.5)
	require.Greater(t, z[n/2], 0.15, "the spread is not merely large")
}
