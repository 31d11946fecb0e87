package coach_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestDoneIsSaidOfWhatIsKnown: where the reading is likely to end is what DONE rests on. It is said
// at once of a reading that will be inside with nineteen chances in twenty; a vaguer one is
// waited for, and by four chances in five it is left at that only after minutes, or at once when
// somebody says that the display stands and looking again would tell no more.
func TestDoneIsSaidOfWhatIsKnown(t *testing.T) {
	sdFor := func(chance float64) float64 { return 0.02 / (math.Sqrt2 * math.Erfinv(chance)) } // in the middle
	for _, c := range []struct {
		what   string
		inside float64
		age    float64
		stands bool
		better float64 // the spread, times what it can be
		do     coach.Action
	}{
		{"96.2 %", 0.962, 60, false, 1, coach.Stop},
		{"93.5 %", 0.935, 60, false, 1, coach.Wait},
		{"83.5 %, after five minutes", 0.835, 325, false, 1.5, coach.Stop},
		{"76 %, after five minutes", 0.76, 325, false, 1.5, coach.Wait},
		{"76 %, after eight minutes", 0.76, 480, false, 1.5, coach.Stop},
		{"76 %, as good as a display that stands", 0.76, 325, true, 1.34, coach.Stop},
		{"76 %, and another look would tell more", 0.76, 325, true, 1.88, coach.Wait},
	} {
		b, h, y := coachtest.Nearby(0)
		sd := sdFor(c.inside)
		a := b.Advise(coach.Request{History: h, Now: coach.Present{PH: y, Shown: y, SD: sd, FinalSD: sd / c.better, Age: c.age, Stands: c.stands}})
		assert.Equal(t, c.do, a.Do, "%s: %v %v", c.what, a.Do, a.Reason)
	}
}

// TestWayBackIsSureOfHavingPassed: nobody is sent back over the aim by a reading on its way,
// before it is past the tolerance with 97 or 98 chances in a hundred.
func TestWayBackIsSureOfHavingPassed(t *testing.T) {
	for z, do := range map[float64]coach.Action{1.85: coach.Wait, 2.08: coach.Add} {
		const sd = 0.01
		b, h, y := coachtest.Nearby(0.02 + z*sd)
		acid := coachtest.Stock("acid", 0.0002*coachtest.Capacity(0.5))
		acid.PerLitre.Charge *= -1
		b.Stocks = append(b.Stocks, acid)
		a := b.Advise(coach.Request{History: h, Now: coach.Present{PH: y, Shown: y, SD: sd, FinalSD: sd, Age: 60, GoOn: true}})
		assert.Equal(t, do, a.Do, "%.2f spreads past: %v %v", z, a.Do, a.Reason)
	}
}

// TestFromTheEdgeItGoesOn: a reading inside the tolerance is left alone, unless it stands
// beyond the middle of it and a further addition makes it likelier by a twentieth to end
// inside.
func TestFromTheEdgeItGoesOn(t *testing.T) {
	kinds := map[string]int{}
	for _, off := range []float64{0.30, 0.42, 0.58, 0.66, 0.74, 0.82} {
		for k := range 14 {
			b, h, y := coachtest.Nearby(-off * 0.02)
			sd := 0.003 * math.Pow(1.12, float64(k))
			now := coach.Present{PH: y, Shown: y, SD: sd, FinalSD: sd, Settled: true, Age: 250}
			a := b.Advise(coach.Request{History: h, Now: now})
			in := (math.Erf((1+off)*0.02/(sd*math.Sqrt2)) + math.Erf((1-off)*0.02/(sd*math.Sqrt2))) / 2
			mid := math.Erf(0.02 / (sd * math.Sqrt2)) // from the aim itself
			kind := ""
			switch gain := mid - in; {
			case off < 0.45 && gain > 0.058:
				kind = "near the middle"
			case off > 0.55 && gain < 0.042:
				kind = "nothing to gain"
			case off > 0.55 && gain > 0.063 && in < 0.94:
				kind = "worth it"
			default:
				continue
			}
			kinds[kind]++
			assert.Equal(t, kind == "worth it", a.Do == coach.Add, "%s: %.2f of the tolerance, spread %.4f, inside %.3f, then %.3f: %v %v", kind, off, sd, in, mid, a.Do, a.Reason)
		}
	}
	for _, k := range []string{"near the middle", "nothing to gain", "worth it"} {
		require.Greater(t, kinds[k], 1, "%s: %v", k, kinds)
	}
}

// TestOrderStandsUntilItIsRisky: an order that was fresh with 20 chances in a thousand to pass
// stands while the reading wanders until it has five times that.
func TestOrderStandsUntilItIsRisky(t *testing.T) {
	told := map[bool]int{}
	for k := range 60 {
		b, h, y := coachtest.Nearby(-0.1)
		h.Observations[0].SD = 0.001
		now := coachtest.Settled(y, 0.008)
		order := math.Round(640 + 4*float64(k)) // some 0.1 pH: a drop did less than planned
		a := coachtest.Dose(order)
		after, low, high := b.Landing(coach.Request{History: h, Now: now}, a)
		z := (b.Target + 0.02 - after) / ((high - low) / (2 * 1.96))
		chance := math.Erfc(z/math.Sqrt2) / 2
		stands := b.Stands(coach.Request{History: h, Now: now}, 0, order)
		switch {
		case chance > 0.045 && chance < 0.088:
			told[true]++
			assert.True(t, stands, "%.4f", chance)
		case chance > 0.117 && chance < 0.19:
			told[false]++
			assert.False(t, stands, "%.4f", chance)
		}
	}
	require.Greater(t, told[true], 2)
	require.Greater(t, told[false], 2)
}

// TestLargerVolumeHasABound: who agrees to a larger volume gets what fits into a tenth more,
// and is asked again.
func TestLargerVolumeHasABound(t *testing.T) {
	b, shown := coachtest.Fine(0.3, 1e-6)
	b.Final = b.Start
	b.Stocks[0] = coachtest.Stock("base", 1e-6*coachtest.Capacity(0.5)) // 300,000 drops would not be enough
	a := b.Advise(coach.Request{Now: coachtest.Settled(shown, 0.001), Confirmed: []string{"no_room"}})
	require.Equal(t, coach.Add, a.Do, "%v", a.Reason)
	over := a.Volume.Litres() / b.Final.Litres()
	assert.Greater(t, over, 0.082)
	assert.Less(t, over, 0.12)
}

// At the very edge of the tolerance done is not said before minutes have passed: the next digit
// would take it back. Once said it is not taken back there, and a display that stands is
// taken at its word.
func TestDoneAtTheVeryEdge(t *testing.T) {
	for _, c := range []struct {
		what   string
		part   float64 // of the tolerance
		age    float64
		now    coach.Present
		reason coach.Reason
	}{
		{"inside", 0.87, 100, coach.Present{}, coach.InTolerance},
		{"at the edge", 0.97, 100, coach.Present{}, coach.HandsOff},
		{"after four minutes", 0.97, 250, coach.Present{}, coach.InTolerance},
		{"done was said", 0.97, 100, coach.Present{Done: true}, coach.InTolerance},
		{"a person says that it stands", 0.97, 100, coach.Present{Stands: true}, coach.InTolerance},
	} {
		b, h, y := coachtest.Nearby(0)
		c.now.PH, c.now.Shown, c.now.SD, c.now.FinalSD, c.now.Age, c.now.Settled = y, y+c.part*b.Tolerance, 0.002, 0.002, c.age, true
		c.now.PH += (c.part - 0.45) * b.Tolerance
		a := b.Advise(coach.Request{History: h, Now: c.now})
		assert.Equal(t, c.reason, a.Reason, "%s: %v", c.what, a.Do)
	}
}
