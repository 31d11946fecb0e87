package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A reading that has moved by a tenth with nothing on record has not come back, however rough the
// sensor: a minute and a half later no more than one in six may say so. The first readings at rest
// say little of that, and were all that was asked. One that stands, or has come back, is none.
func TestAMovementOfARoughSensor(t *testing.T) {
	for _, c := range []struct {
		noise, by float64
		open      bool
	}{{0.02, 0, false}, {0.03, 0, false}, {0.03, 0.1, true}, {0.02, 0.1, true}, {0.01, 0.06, true}, {0.004, 0.04, true}, {0.004, 0.01, false}} {
		open := 0
		for seed := range uint64(20) {
			r := rand.New(rand.NewPCG(seed, 61))
			y := func(t float64) float64 {
				up := -math.Expm1(-math.Max(t-100, 0) / 4)
				return math.Round(1000*(5+c.by*up+c.noise*r.NormFloat64())) / 1000
			}
			if k := pushed(Track(Unknown()).Resolve(0.001), 0, 190, y); len(k.Moves()) > 0 {
				open++
			}
		}
		if c.open {
			assert.GreaterOrEqual(t, open, 17, "%+v", c)
		} else {
			assert.LessOrEqual(t, open, 1, "%+v", c)
		}
	}
}

// Out for half a minute and in again is no movement, and what moves after that is another one.
func TestWhatMovesAfterOutAndIn(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 61))
	toward := func(from, to, since float64) func(float64) float64 {
		return func(t float64) float64 {
			return math.Round(1000*(to+(from-to)*math.Exp(-(t-since)/3)+0.003*r.NormFloat64())) / 1000
		}
	}
	k := pushed(Track(Unknown()).Resolve(0.001), 0, 120, toward(5, 5, 0))
	k = pushed(k, 121, 150, toward(5, 7, 120))
	k = pushed(k, 151, 190, toward(7, 5, 150))
	assert.Empty(t, k.Moves())
	assert.NotEmpty(t, k.moves)
	k = pushed(k, 191, 240, toward(5, 5.3, 190))
	if assert.Len(t, k.Moves(), 1) {
		assert.InDelta(t, 190, k.Moves()[0].From, 4)
	}
}
