package coach_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
)

// TestNobodyWaitsForEver: a vague reading is waited for while that would change the
// dose; after three minutes no more when it would become little better, and before
// four minutes what is safe is given in any case.
func TestNobodyWaitsForEver(t *testing.T) {
	for _, c := range []struct {
		age, share float64 // s since the beaker was touched; spread now, times what it would become
		waits      bool
	}{
		{170, 1.3, true}, {190, 1.3, false}, {190, 1.4, true}, {210, 1.4, true}, {230, 1.4, false}, {210, 3, true}, {230, 3, false},
	} {
		r := rand.New(rand.NewPCG(13, 14))
		waits, adds := 0, 0
		for range 40 {
			v := newVirtual(r)
			h, last, _, _ := v.titrate(t)
			y := last.Aim - v.up*0.1 // somewhat short of the aim
			now := coach.Present{PH: y, Shown: y, SD: 0.012 * c.share, FinalSD: 0.012, Age: 60}
			if v.bench.Advise(coach.Request{History: h, Now: now}).Do != coach.Wait {
				continue // a better reading would change nothing
			}
			now.Age = c.age
			switch v.bench.Advise(coach.Request{History: h, Now: now}).Do {
			case coach.Wait:
				waits++
			case coach.Add:
				adds++
			}
		}
		require.Positive(t, waits+adds)
		assert.Equal(t, c.waits, waits > adds, "%+v: %d wait, %d add", c, waits, adds)
	}
}
