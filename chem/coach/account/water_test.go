package account_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach/account"
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

// Water with next to no buffer starts off its plan by what air brings, as above, and about as much
// again of what was on the glass (a choice): twice 1.42·10⁻⁵ mol/kg.
func TestWaterStartsOffByAirAndGlass(t *testing.T) {
	b, _ := coachtest.Plain(0.3, 0.5)
	a := b.AsPlanned()
	sd := math.Sqrt(a.Priors()[account.Excess]) * b.Scale(0)
	assert.InEpsilon(t, 2*math.Pow(10, -1.47)*420e-6, sd/b.Water.Water, 0.25)
}
