package practice

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// thrown are readings on a calm display whose noise goes with that of the dice as rho says.
func thrown(n int, rho float64) (out []sample) {
	r := rand.New(rand.NewPCG(3, 4))
	for range n {
		dice := 0.004 * r.NormFloat64()
		said := rho*dice + 0.004*math.Sqrt(1-rho*rho)*r.NormFloat64()
		out = append(out, sample{ph: 7 + said, noise: dice, thrown: dice, shown: 7})
	}
	return out
}

// The figures of what tells a run of another bench, each from both sides.
func TestDice(t *testing.T) {
	assert.True(t, dice(thrown(4000, 0.5), false))
	assert.False(t, dice(thrown(4000, 0.3), false))
	assert.True(t, dice(thrown(4000, 0), true), "the noise of a recorded electrode is that of all")
	assert.True(t, dice(thrown(40, 0), false), "too few to tell")
	assert.False(t, dice(thrown(65, 0), false))

	bend := func(by float64) []sample { // a display that bends by so much at each reading
		list := thrown(4000, 0)
		for i := range list {
			list[i].shown += by / 4 * float64(1-2*(i%2)) // a − 2b + c is by
		}
		return list
	}
	assert.False(t, dice(bend(0.003), false))
	assert.True(t, dice(bend(0.005), false), "nothing is calm, so nothing is told")

	far := func(times float64) []sample { // one reading in four of another moment, beside dice that agree
		list := thrown(4000, 1)
		for i := 5; i < len(list); i += 4 {
			list[i].ph = 7 + times*0.004*math.Sqrt(6)/2
		}
		return list
	}
	assert.True(t, dice(far(14), false))
	assert.False(t, dice(far(4), false))
}

func TestSameSeconds(t *testing.T) {
	list := func(n int, share, off float64) (out []sample) {
		for i := range n {
			x := sample{off: 0.1}
			if float64(i) < share*float64(n) {
				x.off = off
			}
			out = append(out, x)
		}
		return out
	}
	assert.True(t, sameSeconds(list(100, 0.25, 0.003)))
	assert.False(t, sameSeconds(list(100, 0.15, 0.003)))
	assert.False(t, sameSeconds(list(100, 0.9, 0.005)))
	assert.True(t, sameSeconds(list(40, 0, 0)), "too few to tell")
	assert.False(t, sameSeconds(list(60, 0, 0)))
	unknown := list(100, 0, 0)
	for i := range unknown {
		unknown[i].shown = math.NaN()
	}
	assert.True(t, sameSeconds(unknown), "nothing is known of the dice")
}
