package replay_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/runtest"
)

// glass is an electrode with a late part in front of a meter with two decimals: written apart from
// sim and probe, it knows the pH of the beaker and nothing else.
type glass struct {
	shown
	share, late float64
	f, l        float64
	r           *rand.Rand
}

// in lets so many seconds pass in a beaker of a pH.
func (g *glass) in(ph, seconds float64) {
	for range int(seconds) {
		g.t++
		g.f += (ph - g.f) * -math.Expm1(-1/2.5)
		g.l += (ph - g.l) * -math.Expm1(-1/g.late)
		y := math.Round(100*((1-g.share)*g.f+g.share*g.l+0.0015*g.r.NormFloat64())) / 100
		g.put(journal.Event{Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}})
	}
}

// What is late of a large addition is neither a rest nor a move of its own: the table has where
// the reading was going, as the run said it then. 24 drops of 2 M HCl are 2.4 mmol in 20 of
// Tris, pKa 8.15 at 22 °C (from memory): pH 9.0, and 6 more 8.87.
func TestALatePartIsNoMove(t *testing.T) {
	for _, late := range []float64{40, 70, 100} {
		for _, stays := range []float64{100, 160} {
			g := &glass{share: 0.1, late: late, f: 10.4, l: 10.4, r: rand.New(rand.NewPCG(1, 2))}
			first := runtest.First(runtest.Tris())
			_ = g.log.Append(&first)
			give := func(drops, ph float64) {
				from := g.t
				g.in(ph, 4)
				g.put(journal.Event{Kind: journal.Added, Added: &journal.Addition{Titrant: "acid", Drops: drops, ML: 0.05 * drops, From: &from}})
			}
			g.in(10.4, 60)
			give(24, 9.0)
			g.in(9.0, stays)
			give(6, 8.87)
			g.in(8.87, 60)
			v := g.review(t)
			require.Len(t, v.Steps, 2)
			after := v.Steps[0].After
			assert.InDelta(t, 9.0, after.PH, 0.025, "late %g s, %g s", late, stays)
			assert.Less(t, math.Abs(after.PH-9.0), 2.5*after.SD+0.005, "late %g s, %g s: %.3f ± %.3f", late, stays, after.PH, after.SD)
			assert.Equal(t, after.PH, v.Steps[1].Before.PH)
			for _, o := range v.Over {
				t.Error("it went past nothing: ", o.Words)
			}
		}
	}
}
