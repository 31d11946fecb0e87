package coach_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
)

// TestQuestionStays: a mistake is asked about from one probability on, and the
// question stands down to a lower one, so that it does not come and go while the
// reading wavers; below that it is taken back.
func TestQuestionStays(t *testing.T) {
	r := rand.New(rand.NewPCG(72, 58))
	seen := map[string]int{}
	for range 120 {
		v := newVirtual(r)
		double := v.bench.Stocks[0].PerLitre
		double.Charge *= 2
		double.Strength *= 2
		v.bench.Mistakes = []coach.Mistake{{Name: "twice as strong", Code: "stock:1", Prior: 0.05, Stock: 1, PerLitre: &double}}
		v.strength[0] *= 1.1 + r.Float64() // something between the two
		y := v.reading(t)
		first := v.bench.Advise(coach.Request{Now: coach.Present{PH: y, SD: 0.005, FinalSD: 0.005, Shown: y, Settled: true, Age: 200}})
		if first.Do != coach.Add || first.Stock != 0 {
			continue
		}
		h := coach.History{Additions: []coach.Addition{{Stock: 0, Volume: first.Volume, Drops: first.Drops}}, Observations: []coach.Observation{{PH: y, SD: 0.005}}}
		v.add(first)
		y = v.reading(t)
		req := coach.Request{History: h, Now: coach.Present{PH: y, SD: 0.005, FinalSD: 0.005, Shown: y, Settled: true, Age: 200}}
		bel := v.bench.Believe(req.With(0.005))
		p := bel.Suspicion()
		asks := v.bench.DecideOn(bel, req).Do == coach.Check
		req.Asked = true
		still := v.bench.DecideOn(bel, req).Do == coach.Check
		switch {
		case p > 0.88:
			seen["sure"]++
			assert.True(t, asks && still, "%.2f", p)
			// Nobody is accused by a reading that is too vague; what is safe by all accounts
			// is held back meanwhile, and given to who wants to go on.
			dim := req
			dim.Now.SD, dim.Now.FinalSD, dim.Now.Settled, dim.Asked = 0.05, 0.005, false, false
			waits := v.bench.DecideOn(bel, dim)
			assert.Equal(t, coach.Wait, waits.Do)
			dim.Now.GoOn = true
			if on := v.bench.DecideOn(bel, dim); on.Do == coach.Add {
				seen["dim"]++
				assert.True(t, waits.Held())
				assert.Equal(t, on.Drops, waits.Drops)
			}
			// On a vague reading a better one is waited for, three minutes at most.
			vague := req
			vague.Now.SD, vague.Now.FinalSD, vague.Asked = 0.015, 0.015, false
			bel := v.bench.Believe(vague.With(0.015))
			if bel.Suspicion() < 0.88 || math.Abs(y-v.bench.DecideOn(bel, vague).Aim) > 0.35 {
				break
			}
			seen["vague"]++
			for age, named := range map[float64]bool{150: false, 170: false, 190: true, 235: true} {
				vague.Now.Age = age
				assert.Equal(t, named, v.bench.DecideOn(bel, vague).Do == coach.Check, "%.0f s", age)
			}
		case p > 0.67 && p < 0.84:
			seen["wavering"]++
			assert.False(t, asks, "%.2f", p)
			assert.True(t, still, "%.2f", p)
		case p > 0.35 && p < 0.63:
			seen["doubtful"]++
			assert.False(t, asks || still, "%.2f", p)
		}
	}
	for _, kind := range []string{"sure", "wavering", "doubtful", "vague", "dim"} {
		assert.GreaterOrEqual(t, seen[kind], 3, kind)
	}
	t.Log(seen)
}
