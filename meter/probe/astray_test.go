package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
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
