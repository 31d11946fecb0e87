package coach_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestWaitsWhereItPays: whether a vague reading is waited for is whether that changes what
// would be given: by a tenth of the dose, or by leaving a quarter more of the way and a quarter
// of the tolerance, or in a chance to end inside that is one in twenty better. With values
// that are typed, each of which costs less than an addition, by two hundredths of the dose.
func TestWaitsWhereItPays(t *testing.T) {
	kinds := map[string]int{}
	for _, c := range []struct {
		known float64 // spread of the drops
		way   float64
		typed bool
	}{
		{0.005, 0.7, false}, {0.01, 0.3, false}, {0.02, 0.7, false}, {0.02, 0.9, false}, {0.03, 0.5, false}, {0.03, 0.8, false},
		{0.2, 0.1, false}, {0.2, 0.16, false}, {0.4, 0.1, false}, {0.4, 0.2, false}, {0.3, 0.1, false}, {0.5, 0.14, false},
		{0.2, 0.1, true}, {0.2, 0.2, true}, {0.1, 0.2, true}, {0.05, 0.38, true},
	} {
		enough, few := 0.865, 0.935
		if c.typed {
			enough, few = 0.970, 0.984
		}
		for k := range 24 {
			b, shown := coachtest.Fine(c.way, c.known)
			now := coach.Present{PH: shown, Shown: shown, SD: 0.003 * math.Pow(1.11, float64(k)), Age: 265, Typed: c.typed}
			now.FinalSD = math.Min(0.004, now.SD/1.6)
			at := func(sd float64) coach.Advice { // what would be given on a reading so good
				on := now
				on.SD, on.FinalSD, on.GoOn = sd, sd, true
				return b.Advise(coach.Request{Now: on})
			}
			is, soon, late := b.Advise(coach.Request{Now: now}), at(now.SD), at(now.FinalSD)
			if soon.Do != coach.Add || late.Do != coach.Add {
				continue
			}
			share, gain := soon.Drops/late.Drops, hitting(late)-hitting(soon)
			left, least := math.Abs(soon.Aim-soon.After), math.Abs(late.Aim-late.After)
			falls := (left - least) / (0.25*least + 0.25*b.Tolerance)
			kind := ""
			switch {
			case share < enough && falls < 0.88 && gain < 0.04:
				kind = "a part of the dose"
			case share > few && falls > 1.12 && gain < 0.04:
				kind = "more of the way"
			case share > few && falls < 0.88 && gain > 0.059:
				kind = "a better chance"
			case share > few && falls < 0.88 && gain < 0.042:
				kind = "nothing"
			default:
				continue
			}
			waits := kind != "nothing"
			if c.typed {
				kind += ", typed"
			}
			kinds[kind]++
			assert.Equal(t, waits, is.Do == coach.Wait, "%s: %+v, spread %.4f: %g drops for %g, leaves %.4f for %.4f, hits %.3f for %.3f",
				kind, c, now.SD, soon.Drops, late.Drops, left, least, hitting(soon), hitting(late))
		}
	}
	for _, k := range []string{"a part of the dose", "more of the way", "a better chance", "nothing", "nothing, typed", "a part of the dose, typed"} {
		require.Positive(t, kinds[k], "%s: %v", k, kinds)
	}
}

// hitting is the chance that an addition ends inside the tolerance, from its central 95 %.
func hitting(a coach.Advice) float64 {
	sd := (a.High - a.Low) / (2 * 1.96) * math.Sqrt2
	off := a.After - a.Aim
	return (math.Erf((a.Tolerance-off)/sd) - math.Erf((-a.Tolerance-off)/sd)) / 2
}
