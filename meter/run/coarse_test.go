package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// A display of one decimal cannot tell ±0.05, and is never better than it is: where it stands
// inside, and what was given says so too, it is done at last; and why it takes so long is said.
func TestACoarseDisplayComesToAnEnd(t *testing.T) {
	for _, aim := range []float64{6.85, 6.97} {
		p := phosphate()
		p.Target.PH, p.Target.Tolerance = num(aim), num(0.05)
		b := newStand(t, p, func(_ *recipe.Setup, tr *sim.Truth) { tr.Decimals, tr.Noise = 1, 0.005 })
		var v view.View
		said := false
		for b.sec < 1500 && v.Advice.Do != coach.Stop {
			if v = b.second(); v.Advice.Do == coach.Add && v.Falling == nil {
				b.giveIt(v)
			}
			said = said || v.Note == view.CoarseWords(1, 0.05)
		}
		assert.Equal(t, coach.Stop, v.Advice.Do, "%.2f: %s, %s", aim, v.Sentence(), v.Why())
		assert.Contains(t, v.Why(), "a display of 0.1 cannot tell ±0.05: it may be 0.", "the tolerance is not claimed")
		assert.NotContains(t, v.Why(), "within ±")
		assert.True(t, said)
	}
}

// It is said of a display whose last digit is half as large again as the tolerance, and of no
// finer one.
func TestWhatIsACoarseDisplay(t *testing.T) {
	for tolerance, said := range map[float64]bool{0.02: false, 0.01: false, 0.005: true} {
		p := phosphate()
		p.Target.Tolerance = num(tolerance)
		b := newStand(t, p, func(_ *recipe.Setup, tr *sim.Truth) { tr.Decimals = 2 })
		for range 5 {
			b.second()
		}
		assert.Equal(t, said, b.keep.Look(b.sec).Note == view.CoarseWords(2, tolerance), "%g", tolerance)
	}
}
