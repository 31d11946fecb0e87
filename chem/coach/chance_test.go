package coach

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The chance that a dose passes its goal is an integral over how large the drops are, log-normal,
// of the chance that the rest of the doubt, normal, carries it there. Beside it the same integral
// in 40,000 steps of the rectangle rule to six standard deviations.
func TestChanceOfADoseIsAnIntegral(t *testing.T) {
	for _, lnSD := range []float64{0.1, 0.3, 0.6} {
		for _, dose := range []float64{0.5, 0.7, 0.85, 1, 1.3} {
			g := goal{missing: -1, perL: 1, sd: 0.4 * lnSD, lnSD: lnSD}
			want, sum := 0.0, 0.0
			for i := range 40000 {
				z := -6 + 12*(float64(i)+0.5)/40000
				w := math.Exp(-z * z / 2)
				want += w * 0.5 * math.Erfc((1-dose*math.Exp(lnSD*z))/(g.sd*math.Sqrt2))
				sum += w
			}
			assert.InDelta(t, want/sum, g.chance(1, dose, 0), 5e-4, "drops known to %g, dose %g", lnSD, dose)
		}
	}
}

// What CO2 of the air brings into plain water, by Henry's law with lg K = −1.47 at 25 °C (L. N.
// Plummer, E. Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982, from memory) and 420 ppm:
// 10^−1.47 · 420·10⁻⁶ = 1.42·10⁻⁵ mol/kg.
func TestWaterHasTakenUpAir(t *testing.T) {
	assert.InEpsilon(t, math.Pow(10, -1.47)*420e-6, waterCharge, 0.05)
}
