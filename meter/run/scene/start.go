package scene

import (
	"math"

	"example.org/halfdrop/chem/coach"
)

// unsure is how much acid or base may come with what was weighed, as a share
// of the buffer, before a start is called far off: many times what care allows.
const unsure = 0.12

// Range is a range of pH; NaN for one that nobody knows.
type Range struct{ Low, High float64 }

// Foretell is the range of pH that the plan allows at the start.
func Foretell(b *coach.Bench) Range {
	if b.Unweighed {
		return Range{math.NaN(), math.NaN()}
	}
	at := func(excess float64) float64 {
		c := b.Weighed.Plus(1, b.Water)
		c.Charge += excess * b.Scale(b.Buffer)
		c.Strength += math.Abs(excess) * b.Scale(b.Buffer)
		e, err := b.Model.Solve(&c)
		if err != nil {
			return math.NaN()
		}
		return e.PH
	}
	return Range{at(-unsure), at(unsure)}
}

// Neutral is the pH of the standard that electrodes mostly come from.
const Neutral = 7.0
