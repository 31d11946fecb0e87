package guard_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
)

// What a real meter does on a sound line costs the guard next to nothing: an
// addition of 2 pH costs two lines at the most, whatever the electrode; noise
// and drift cost none; a meter that sends seldom loses none to a usual step.
func TestGuardLetsRealMovesPass(t *testing.T) {
	for _, tt := range []struct {
		every         time.Duration
		tau, mix      float64 // s
		step, noise   float64 // pH
		mostOfTheStep int     // lines refused in the minute after it
	}{
		{500 * time.Millisecond, 2, 1, 2, 0.002, 2},
		{500 * time.Millisecond, 10, 1, 2, 0.002, 2},
		{500 * time.Millisecond, 40, 2, 2, 0.002, 2},
		{100 * time.Millisecond, 5, 1, 2, 0.001, 2},
		{time.Second, 3, 1, 2, 0.01, 2},
		{time.Second, 3, 1, -0.3, 0.02, 2},
		{time.Second, 8, 3, 5, 0.005, 3},
		// An electrode that is put from a standard into the beaker goes fastest at first.
		{time.Second, 1, 0.01, -4.8, 0.002, 3},
		{time.Second, 3, 0.01, -4.8, 0.002, 3},
		{time.Second, 8, 0.01, -4.8, 0.002, 3},
		{500 * time.Millisecond, 2, 0.01, 5, 0.002, 3},
		{5 * time.Second, 8, 1, 0.9, 0.005, 0},
		{5 * time.Second, 3, 1, 3.5, 0.005, 0},
		{10 * time.Second, 8, 1, 2, 0.005, 0},
	} {
		t.Run(fmt.Sprintf("%v tau %g step %g noise %g", tt.every, tt.tau, tt.step, tt.noise), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(9, 9))
			var g guard.Guard
			rest, moving := 0, 0
			for at := time.Duration(0); at < 180*time.Second; at += tt.every {
				s := at.Seconds() - 120
				ph := 5 + tt.noise*rng.NormFloat64()
				if s > 0 {
					ph += tt.step * (1 - (tt.tau*math.Exp(-s/tt.tau)-tt.mix*math.Exp(-s/tt.mix))/(tt.tau-tt.mix))
				}
				r, err := frame.Read([]byte(fmt.Sprintf("pH %.2f 25.1 C", ph)))
				assert.NoError(t, err)
				r.Reading.At = start.Add(at)
				if g.Check(r) == nil {
					continue
				}
				if s > 0 {
					moving++
				} else {
					rest++
				}
			}
			assert.Zero(t, rest, "at rest")
			assert.LessOrEqual(t, moving, tt.mostOfTheStep)
		})
	}
}
