package probe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
)

// What is said of the end of an old electrode while the reading is on its way there is worth its
// spread: it has two fast parts (none is one exponential), a late one besides, and what is still to
// go is known to some part of it. Of the values with a few hundredths to go 13 % lay outside two
// spreads without that; 10 % still do.
func TestAnEndThatIsFarIsWorthItsSpread(t *testing.T) {
	n, out, offs, spreads := 0.0, 0.0, 0.0, 0.0
	for seed := uint64(1001); seed <= 1024; seed++ {
		x := begin(kind{"old", [2]float64{5, 14}, [2]float64{.03, .09}, [2]float64{60, 300}, [2]float64{.002, .006}, 2}, seed)
		x.part, x.slower = between(x.r, [2]float64{.08, .25}), between(x.r, [2]float64{18, 50})
		x.seconds(120)
		for _, d := range []float64{1.5, 0.7, 0.3, 0.1} {
			x.drips(d * (0.7 + 0.6*x.r.Float64()))
			for range 12 {
				x.seconds(10)
				e := x.k.Estimate(x.clock)
				if e.State == probe.Moving || math.Abs(e.End-e.Now) < 0.03 {
					continue
				}
				off := math.Min(math.Abs(e.End-x.pool), 0.5)
				n++
				offs, spreads = offs+off*off, spreads+math.Min(e.SD*e.SD, 0.25)
				if off > 2*e.SD {
					out++
				}
			}
		}
	}
	times := math.Sqrt(spreads / offs)
	t.Logf("%.1f %% of %.0f outside two spreads, which are %.2f times what they are off", 100*out/n, n, times)
	assert.Less(t, out/n, 0.113)
	assert.Less(t, times, 1.05)
}
