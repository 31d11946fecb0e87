package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whatever was taken for the way of the electrode before, and however sure the belief
// is of it: a reading that stands still ends where it stands.
func TestAReadingThatStandsEndsThere(t *testing.T) {
	for _, noise := range []float64{0.001, 0.003, 0.01} {
		rnd := rand.New(rand.NewPCG(5, 3))
		k, at := Track(Unknown()).Resolve(0.001), 0.0
		read := func() {
			at++
			k = k.Push(at, math.Round(1000*(5+noise*rnd.NormFloat64()))/1000)
		}
		for range 60 {
			read()
		}
		k.bank = k.bank.clone()
		k.bank.went = 3 // it has come a long way: much may be lacking
		for i := range k.bank.nodes {
			n := &k.bank.nodes[i]
			n.x[xEnd], n.x[xLate] = n.x[xEnd]-0.4, n.x[xLate]+0.4
		}
		k.anchor()
		assert.InDelta(t, 4.6, k.Estimate(at).End, 0.05)
		for range 60 {
			read()
		}
		e := k.Estimate(at)
		assert.InDelta(t, 5, e.End, 0.02+2*e.SD, "noise %g: %+v", noise, e)
	}
}

// TestAStepIsForgotten: what a late part may still hold back after a step becomes
// less with the time since, with 150 s; not while the beaker is being changed.
func TestAStepIsForgotten(t *testing.T) {
	e := Unknown()
	b := open(&e, 0, 7, 0.001)
	b = b.changed(1, 1e-6)
	require.InDelta(t, 1, b.way(b.base+1), 1e-6)
	later := b.ahead(150, wander)
	require.InDelta(t, math.Exp(-1), later.way(later.base+1), 1e-6)
	again := later.changed(-0.5, 1e-6)
	require.InDelta(t, math.Exp(-1)+0.5, again.way(again.base-0.5), 1e-3, "two steps add up")
	require.InDelta(t, 1, later.loosened().fresh, 0, "the last drop has only just fallen")
}

// TestNoEndBeyondTheScale: an electrode that is pulled out of the beaker, or dries,
// seems to go anywhere; no end is said that no meter can show.
func TestNoEndBeyondTheScale(t *testing.T) {
	k := Track(Unknown()).Resolve(0.01)
	for i := range 12 {
		k = k.Push(float64(i), 7)
	}
	for i := range 40 {
		k = k.Push(float64(12+i), math.Round(100*(7+0.01*float64(i*i)))/100)
		if e := k.Estimate(float64(12 + i)); !math.IsNaN(e.End) {
			require.GreaterOrEqual(t, e.End, -2.0)
			require.LessOrEqual(t, e.End, 16.0, "%+v", e)
		}
	}
}
