package account_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestNoiseTellsTheMeter: by the noise measured on recordings, laboratory glass 0.0008 to
// 0.002, the sensor of a practical course 0.025 to 0.032.
func TestNoiseTellsTheMeter(t *testing.T) {
	for sd, want := range map[float64]coach.Noise{
		0: coach.Unheard, 0.0008: coach.Quiet, 0.002: coach.Quiet, 0.0095: coach.Quiet,
		0.0105: coach.Unheard, 0.0175: coach.Unheard, 0.0185: coach.Rough, 0.025: coach.Rough, 0.032: coach.Rough,
	} {
		assert.Equal(t, want, coach.NoiseOf(sd), "%g", sd)
	}
}

// TestNoiseIsAPrior: the share of the accounts with a scale that is badly calibrated is
// that of the kind of meter, the sum of all as before.
func TestNoiseIsAPrior(t *testing.T) {
	v := coachtest.NewVirtual(rand.New(rand.NewPCG(7, 36)))
	for n, want := range map[coach.Noise]float64{coach.Unheard: 0.06, coach.Quiet: 0.02, coach.Rough: 0.7} {
		shifted, all, careless := 0.0, 0.0, 0.0
		for _, a := range v.Bench.All(coach.History{Noise: n}) {
			all += a.Prior
			if a.Care.Shift > 1 {
				shifted += a.Prior
				if a.Care.Drop > 1 {
					careless += a.Prior
				}
			}
		}
		assert.InDelta(t, want, shifted/all, 1e-9, "%v", n)
		assert.InDelta(t, 1, all, 1e-9, "%v", n)
		assert.Equal(t, n == coach.Rough, careless > 0.2*all && careless < 0.4*all, "%v: %g of them do not know their drops either", n, careless)
	}
}
