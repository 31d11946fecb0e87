package belief_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestReadingsFarAwayTellLessOfTheScale: what a meter shows wrong at the start is carried
// over to the aim, less of it the farther away that is: an error e of the slope makes e·d of a distance
// d, and the constants bend the curve. Of the two, with prior P² of the scale, the share that
// is carried over is P²/(P²+(e·d)²+bend²), and what stays in doubt is their product over
// the sum (conditioning of a Gaussian). Design figures: e = 0.012 pH per pH, a fifth of a
// calibration's 0.06 or so (common practice, no source), bend to 0.008 pH within some 0.8 pH.
func TestReadingsFarAwayTellLessOfTheScale(t *testing.T) {
	const scale, slope, bend, over = 0.035, 0.012, 0.008, 0.8
	b, shown := coachtest.Plain(0.01, 0.91) // 3.0 pH
	d := coachtest.Way(0.01, 0.91)
	noise := math.Pow(slope*d, 2) + bend*bend*2*(1-math.Exp(-d*d/(2*over*over)))
	const off = 0.05
	h := coach.History{Observations: []coach.Observation{{PH: shown + off, SD: 1e-4}}}
	p := b.Curve(h, 0.9*coachtest.Mol, 0.9*coachtest.Mol+1e-6, 2)[0]
	carried := (p.PH - b.Target) / off
	assert.InDelta(t, scale*scale/(scale*scale+noise), carried, 0.095, "3 pH away") // 0.46
	assert.InEpsilon(t, math.Sqrt(scale*scale*noise/(scale*scale+noise)), ((p.High - p.Low) / (2 * 1.96)), 0.13)

	b, shown = coachtest.Plain(0.33, 0.5) // 0.3 pH
	d = coachtest.Way(0.33, 0.5)
	noise = math.Pow(slope*d, 2) + bend*bend*2*(1-math.Exp(-d*d/(2*over*over))) // 0.0037² + 0.0030²
	h = coach.History{Observations: []coach.Observation{{PH: shown, SD: 1e-4}}}
	p = b.Curve(h, 0.17*coachtest.Mol, 0.17*coachtest.Mol+1e-6, 2)[0]
	got := (p.High - p.Low) / (2 * 1.96) / math.Sqrt(noise)
	assert.Greater(t, got, 0.86, "0.3 pH away: hardly any doubt")
	assert.Less(t, got, 1.25)
}
