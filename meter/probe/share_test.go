package probe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Nothing is learned of the share while the end value is not known, but for the share itself:
// the two are multiplied, and what a wrong end value says of the share is wrong. What the late
// part lacks is learned all the same.
func TestTheShareIsLearnedOfAnEndThatIsKnown(t *testing.T) {
	for sd, learns := range map[float64]bool{0.013: true, 0.022: true, 0.028: false, 0.05: false} {
		n := node{res: 0.02, pred: 1}
		n.x[xShare] = 0.05
		n.p[xShare][xShare] = 0.03 * 0.03
		n.p[xLate][xShare], n.p[xShare][xLate] = -2*0.03*0.03, -2*0.03*0.03 // of a way of 2 pH
		n.p[xLate][xLate] = 4 * 0.03 * 0.03
		n.p[xEnd][xEnd] = sd * sd
		n.expect(0.02, 1e-4)
		n.take(1e-4, false)
		assert.Equal(t, learns, n.x[xShare] != 0.05, "%g", sd)
		assert.Equal(t, learns, n.p[xShare][xShare] < 0.9*0.03*0.03, "%g", sd)
		assert.NotZero(t, n.x[xLate])
	}
}

// The first way of an electrode, of which nobody knows how far it goes, says nothing of the
// share: within the first ten seconds it was known to a hundredth, and wrong, for the rest of
// the run, where a beaker without buffer had crept meanwhile.
func TestTheFirstWaySaysNothingOfTheShare(t *testing.T) {
	k := Track(Unknown()).Resolve(0.01)
	for at := 0.0; at < 12; at++ {
		k = k.Push(at, math.Round(100*(6.13-0.87*math.Exp(-at/4)))/100)
	}
	for i := range k.bank.nodes {
		n := &k.bank.nodes[i]
		assert.InDelta(t, shareMean[n.share], n.x[xShare], 0.6*shareSD[n.share])
		assert.Greater(t, math.Sqrt(n.p[xShare][xShare]), 0.7*shareSD[n.share])
	}
}
