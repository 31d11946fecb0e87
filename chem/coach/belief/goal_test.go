package belief_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/recipe"
)

// The chance that a dose passes its goal is an integral over how large the drops are, log-normal,
// of the chance that the rest of the doubt, normal, carries it there. Beside it the same integral
// in 40,000 steps of the rectangle rule to six standard deviations.
func TestChanceOfADoseIsAnIntegral(t *testing.T) {
	for _, lnSD := range []float64{0.1, 0.3, 0.6} {
		for _, dose := range []float64{0.5, 0.7, 0.85, 1, 1.3} {
			g := belief.Goal{Missing: -1, PerL: 1, SD: 0.4 * lnSD, LnSD: lnSD}
			want, sum := 0.0, 0.0
			for i := range 40000 {
				z := -6 + 12*(float64(i)+0.5)/40000
				w := math.Exp(-z * z / 2)
				want += w * 0.5 * math.Erfc((1-dose*math.Exp(lnSD*z))/(g.SD*math.Sqrt2))
				sum += w
			}
			assert.InDelta(t, want/sum, g.Chance(1, chem.Volume(dose), 0), 5e-4, "drops known to %g, dose %g", lnSD, dose)
		}
	}
}

// The water of a weak bottle thins a strong buffer, which moves its pH on its own: 1 mol/kg of
// citrate, brought up by 1 mL of 1 M base, would be given 1.21 mL by who forgets that. From a
// hundredth of the water in the beaker on it is reckoned with, and what is missing is what the
// charge balance of chem needs to get there; below, both bottles are taken to lead to one beaker.
func TestAWeakBottleBringsWater(t *testing.T) {
	n := coachtest.Num
	p := recipe.Plan{Target: recipe.Target{PH: n(4.69)}, Beaker: recipe.Beaker{StartML: n(100), FinalML: n(110)},
		Weighed:  []recipe.Weighed{{Reagent: "trisodium citrate dihydrate", MMol: n(70)}, {Reagent: "citric acid monohydrate", MMol: n(30)}},
		Titrants: []recipe.Titrant{{Name: "10 M", Reagent: "NaOH", Molar: n(10)}, {Name: "1 M", Reagent: "NaOH", Molar: n(1)}}}
	b := coachtest.Bench(p, 25)
	beaker := b.Water.Plus(1, b.Weighed)
	bel := b.Believe(coach.History{}.With(chem.PH(coachtest.PH(b.Model, beaker)), 1e-4))
	missing := func(ml float64) (strong, weak float64) {
		off := chem.PH(coachtest.PH(b.Model, beaker.Plus(ml/1000, b.Stocks[1].PerLitre)) - b.Forecast().Aim)
		return -bel.Goal(0, off).Missing, -bel.Goal(1, off).Missing
	}
	for _, ml := range []float64{0.4, 0.6} { // 0.8 % of 90 g by the strong one's reckoning
		strong, weak := missing(ml)
		assert.Equal(t, strong, weak, "%g mL", ml)
	}
	for _, ml := range []float64{1, 1.4} {
		strong, weak := missing(ml)
		assert.InEpsilon(t, ml*1e-3, weak, 0.01, "%g mL", ml)
		assert.InEpsilon(t, 1.21*ml*1e-3, strong, 0.01, "%g mL", ml)
	}
}
