package belief_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/belief"
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
