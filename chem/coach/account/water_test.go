package account_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach/coachtest"
)

// What CO2 of the air brings into plain water, by Henry's law with lg K = −1.47 at 25 °C (L. N.
// Plummer, E. Busenberg, Geochim. Cosmochim. Acta 46, 1011, 1982, from memory) and 420 ppm:
// 10^−1.47 · 420·10⁻⁶ = 1.42·10⁻⁵ mol/kg.
func TestWaterHasTakenUpAir(t *testing.T) {
	b, _ := coachtest.Plain(0.3, 0.5)
	a := b.AsPlanned()
	assert.InEpsilon(t, math.Pow(10, -1.47)*420e-6, a.LeastSD()/b.Water.Water, 0.05)
}
