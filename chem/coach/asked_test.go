package coach_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/recipe"
)

// TestQuestionStays: a mistake is asked about from one probability on, and the
// question stands down to a lower one, so that it does not come and go while the
// reading wavers; below that it is taken back.
func TestQuestionStays(t *testing.T) {
	r := rand.New(rand.NewPCG(72, 58))
	seen := map[string]int{}
	for range 120 {
		v := coachtest.NewVirtual(r)
		double := v.Bench.Stocks[0].PerLitre
		double.Charge *= 2
		double.Strength *= 2
		v.Bench.Mistakes = []coach.Mistake{{Name: "twice as strong", Code: "stock:1", Prior: 0.05, Stock: 1, PerLitre: &double}}
		v.Strength[0] *= 1.1 + r.Float64() // something between the two
		y := v.Reading()
		first := v.Bench.Advise(coach.Request{Now: coachtest.On(y)})
		if first.Do != coach.Add || first.Stock != 0 {
			continue
		}
		h := coach.History{Additions: []coach.Addition{{Stock: 0, Volume: first.Volume, Drops: first.Drops}}, Observations: []coach.Observation{{PH: y, SD: 0.005}}}
		v.Add(first)
		y = v.Reading()
		req := coach.Request{History: h, Now: coachtest.On(y)}
		bel := v.Bench.Believe(req.With(0.005))
		_, p := bel.Suspects()
		asks := v.Bench.DecideOn(bel, req).Do == coach.Check
		req.Asked = true
		still := v.Bench.DecideOn(bel, req).Do == coach.Check
		switch {
		case p > 0.88:
			seen["sure"]++
			assert.True(t, asks && still, "%.2f", p)
			// Nobody is accused by a reading that is too vague; what is safe by all accounts
			// is held back meanwhile, and given to who wants to go on.
			dim := req
			dim.Now.SD, dim.Now.FinalSD, dim.Now.Settled, dim.Asked = 0.05, 0.005, false, false
			waits := v.Bench.DecideOn(bel, dim)
			assert.Equal(t, coach.Wait, waits.Do)
			dim.Now.GoOn = true
			if on := v.Bench.DecideOn(bel, dim); on.Do == coach.Add {
				seen["dim"]++
				assert.True(t, waits.Held())
				assert.Equal(t, on.Drops, waits.Drops)
			}
			// On a vague reading a better one is waited for, three minutes at most.
			vague := req
			vague.Now.SD, vague.Now.FinalSD, vague.Asked = 0.015, 0.015, false
			bel := v.Bench.Believe(vague.With(0.015))
			if _, p := bel.Suspects(); p < 0.88 || math.Abs(y-v.Bench.DecideOn(bel, vague).Aim) > 0.35 {
				break
			}
			seen["vague"]++
			for age, named := range map[float64]bool{150: false, 170: false, 190: true, 235: true} {
				vague.Now.Age = age
				assert.Equal(t, named, v.Bench.DecideOn(bel, vague).Do == coach.Check, "%.0f s", age)
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

// TestNobodyIsAccusedInTheFirstSeconds: a reading that is still on its way, just after the beaker or
// the electrode was touched, names no mistake; one of some seconds more does (for longer it
// is nobody's hand any more, a choice of this project).
func TestNobodyIsAccusedInTheFirstSeconds(t *testing.T) {
	p := coachtest.Demo()
	p.Target = recipe.Target{PH: coachtest.Num(5.12), Tolerance: coachtest.Num(0.1)}
	p.Beaker = recipe.Beaker{StartML: coachtest.Num(350), FinalML: coachtest.Num(500), TempC: coachtest.Num(22.8)}
	p.Weighed = []recipe.Weighed{{Reagent: "acetic acid", MMol: coachtest.Num(7.52)}}
	p.Titrants = []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: coachtest.Num(1), DropUL: coachtest.Num(50)}, {Name: "HCl 1 M", Reagent: "HCl", Molar: coachtest.Num(1), DropUL: coachtest.Num(50)}}
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := s.Bench(22)
	require.NoError(t, err)
	for age, named := range map[float64]bool{3: false, 8: false, 12: true, 18: true} {
		a := b.Advise(coach.Request{Now: coach.Present{PH: 6.7, SD: 0.15, FinalSD: 0.08, Shown: 6.8, Age: age}})
		assert.Equal(t, named, len(a.Mistakes) > 0, "%g s: %+v", age, a)
	}
	a := b.Advise(coach.Request{Now: coach.Present{PH: 6.7, SD: 0.15, FinalSD: 0.08, Shown: 6.8, Age: 3, Settled: true}})
	assert.NotEmpty(t, a.Mistakes, "one at rest says what it says")
}
