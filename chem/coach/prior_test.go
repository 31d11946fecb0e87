package coach_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// spreadAt is the standard deviation of the predicted pH where so many drops have been given.
func spreadAt(t *testing.T, b *coach.Bench, h coach.History, charge float64) float64 {
	t.Helper()
	pts := b.Curve(h, charge, charge+1e-6, 2)
	require.Len(t, pts, 2)
	return (pts[0].High - pts[0].Low) / (2 * 1.96)
}

// TestPlanIsAsSureAsCarefulHands: before any reading, the predicted pH is as uncertain as
// each error of ordinary care makes it alone, δpH = δq/β, beside the one of the scale. That
// care is a design figure: an amount weighed to 1.5 %, a start that is off by 1.5 % of the
// buffer, a scale off by 0.035 pH, single drops that scatter by 5 %, half drops by a quarter, and a
// measured volume by 2 %. What it takes to plan by a bench is within a sixth of that.
func TestPlanIsAsSureAsCarefulHands(t *testing.T) {
	const scale, within = 0.035, 0.17
	b, _ := plain(t, 0.5, 0.6)
	assert.InEpsilon(t, scale, spreadAt(t, b, coach.History{}, 0), within, "the scale alone")

	b, _ = plain(t, 0.1, 0.5)
	b.Buffer = plainMol
	start := 0.015 * plainMol / plainCapacity(0.1) // 0.15 mmol over 2.07 mmol per pH: 0.072
	assert.InEpsilon(t, math.Hypot(scale, start), spreadAt(t, b, coach.History{}, 0), within, "the start")

	b, _ = plain(t, 0.1, 0.5)
	b.AmountSD = 0                                        // ordinary care
	amount := 0.015 * 0.8 * plainMol / plainCapacity(0.9) // 1.5 % of what was given, over 2.07: 0.058
	assert.InEpsilon(t, math.Hypot(scale, amount), spreadAt(t, b, coach.History{}, 0.8*plainMol), within, "the amount")

	for _, c := range []struct {
		what  string
		drops float64 // in which all is given; 0 for a measured volume
		given float64 // of the acid
		sd    float64 // of what was given
	}{
		{"one drop", 1, 0.65, 0.05},
		{"four drops", 4, 0.65, 0.05 / 2},
		{"half a drop", 0.5, 0.15, math.Hypot(0.25, 0.05*math.Sqrt2)},
		{"a measured volume of forty steps", 0, 0.75, math.Hypot(0.02, 0.3/40)},
	} {
		b, _ := plain(t, 0.1, 0.5)
		s := plainStock("base", c.given*plainMol)
		s.ScatterSD = 0 // ordinary drops
		a := coach.Addition{Volume: drop, Drops: c.drops}
		if c.drops > 0 {
			a.Volume = chem.Volume(c.drops) * drop
			s = plainStock("base", c.given*plainMol/c.drops)
			s.ScatterSD = 0
		}
		if c.drops == 0 {
			a.Volume = 40 * drop
			s = plainStock("base", c.given*plainMol/40)
		}
		b.Stocks[0] = s
		given := c.sd * c.given * plainMol / plainCapacity(0.1+c.given)
		assert.InEpsilon(t, math.Hypot(scale, given), spreadAt(t, b, coach.History{Additions: []coach.Addition{a}}, c.given*plainMol), within, c.what)
	}
}

// TestReadingsFarAwayTellLessOfTheScale: what a meter shows wrong at the start is carried
// over to the aim, less of it the farther away that is: an error e of the slope makes e·d of a distance
// d, and the constants bend the curve. Of the two, with prior P² of the scale, the share that
// is carried over is P²/(P²+(e·d)²+bend²), and what stays in doubt is their product over
// the sum (conditioning of a Gaussian). Design figures: e = 0.012 pH per pH, a fifth of a
// calibration's 0.06 or so (common practice, no source), bend to 0.008 pH within some 0.8 pH.
func TestReadingsFarAwayTellLessOfTheScale(t *testing.T) {
	const scale, slope, bend, over = 0.035, 0.012, 0.008, 0.8
	b, shown := plain(t, 0.01, 0.91) // 3.0 pH
	d := plainWay(0.01, 0.91)
	noise := math.Pow(slope*d, 2) + bend*bend*2*(1-math.Exp(-d*d/(2*over*over)))
	const off = 0.05
	h := coach.History{Observations: []coach.Observation{{PH: shown + off, SD: 1e-4}}}
	at := b.Curve(h, 0.9*plainMol, 0.9*plainMol+1e-6, 2)[0].PH
	carried := (at - b.Target) / off
	assert.InDelta(t, scale*scale/(scale*scale+noise), carried, 0.095, "3 pH away") // 0.46
	assert.InEpsilon(t, math.Sqrt(scale*scale*noise/(scale*scale+noise)), spreadAt(t, b, h, 0.9*plainMol), 0.13)

	b, shown = plain(t, 0.33, 0.5) // 0.3 pH
	d = plainWay(0.33, 0.5)
	noise = math.Pow(slope*d, 2) + bend*bend*2*(1-math.Exp(-d*d/(2*over*over))) // 0.0037² + 0.0030²
	h = coach.History{Observations: []coach.Observation{{PH: shown, SD: 1e-4}}}
	got := spreadAt(t, b, h, 0.17*plainMol) / math.Sqrt(noise)
	assert.Greater(t, got, 0.86, "0.3 pH away: hardly any doubt")
	assert.Less(t, got, 1.25)
}
