package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
)

// An order leads to the aim of the beaker as warm as it is: where the beaker gets so much colder
// that the aim moves by more than half the tolerance, it is given anew, and says the aim that
// it leads to. One in sight still led to where the aim had been 13 °C warmer.
func TestAnOrderIsToTheAimOfNow(t *testing.T) {
	for by, anew := range map[float64]bool{-0.8: false, -1.2: true} { // °C; Tris moves by 0.028 pH a °C
		c := &cooling{walker: walkingTris(t), ph: 10.15, temp: 22}
		c.y = c.ph
		c.heated = true
		v := c.seconds(40)
		for range 200 {
			if v.Advice.Do == coach.Add {
				break
			}
			v = c.seconds(1)
		}
		require.Equal(t, coach.Add, v.Advice.Do)
		was := v.Advice
		c.rate = by / 300
		c.seconds(300)
		c.rate = 0
		v = c.seconds(40)
		require.Equal(t, coach.Add, v.Advice.Do, "%g °C: %v", by, v.Sentence())
		if !anew {
			assert.Equal(t, was.Aim, v.Advice.Aim, "%g °C", by)
			continue
		}
		assert.InDelta(t, was.Aim-0.028*by, v.Advice.Aim, 0.011-0.002*by, "%g °C", by)
		assert.False(t, math.Abs(v.Advice.After-was.After) < -0.01*by, "%g °C: and where it leads", by)
	}
}
