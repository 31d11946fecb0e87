package coach_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestNobodyIsNamedOnAVagueReading: however sure it would be, up to some 0.03 pH or twice of what
// the reading will be known in the end.
func TestNobodyIsNamedOnAVagueReading(t *testing.T) {
	for _, c := range []struct {
		sd, final float64
		do        coach.Action
	}{
		{0.025, 0.005, coach.Check}, {0.036, 0.005, coach.Wait},
		{0.042, 0.0235, coach.Check}, {0.06, 0.024, coach.Wait},
	} {
		b, h, y := coachtest.Doubled(0.05)
		a := b.Advise(coach.Request{History: h, Now: coach.Present{PH: y, Shown: y, SD: c.sd, FinalSD: c.final, Age: 265}})
		assert.Equal(t, c.do, a.Do, "%+v: %v", c, a.Reason)
	}
}

// TestStepsAreProbesWhileAccountsAreOpen: from one chance in five on that something is wrong.
func TestStepsAreProbesWhileAccountsAreOpen(t *testing.T) {
	for prior, why := range map[float64]coach.Reason{0.165: coach.Far, 0.24: coach.Probe} {
		b, shown := coachtest.Plain(0.2, 0.6)
		b.Stocks[0].DropSD = 0.05
		b.Mistakes = []coach.Mistake{coachtest.Bottle(b, "stronger", prior, 2)} // nothing was given: no reading can tell
		a := b.Advise(coach.Request{Now: coachtest.Settled(shown, 0.003)})
		require.Equal(t, coach.Add, a.Do)
		assert.Equal(t, why, a.Reason, "%g", prior)
	}
}

// TestAnotherBottleIsNamedAtOnce: who takes another bottle than was said, and says it as ordered,
// is asked about that one at the first reading after it, alone or beside what looks the same
// until more is given (the label of that bottle is wrong, the addition missed).
func TestAnotherBottleIsNamedAtOnce(t *testing.T) {
	r := rand.New(rand.NewPCG(71, 9))
	asked, alone, of := 0, 0, 0
	for range 150 {
		v := coachtest.NewVirtual(r)
		y := v.Reading()
		a := v.Bench.Advise(coach.Request{Now: coachtest.On(y)})
		if a.Do != coach.Add || math.Abs(a.After-y) < 0.3 {
			continue
		}
		h := coach.History{Additions: []coach.Addition{{Stock: a.Stock, Volume: a.Volume, Drops: a.Drops}}, Observations: []coach.Observation{{PH: y, SD: 0.005}}}
		took := (a.Stock + 1 + r.IntN(2)) % 3
		a.Stock = took
		v.Add(a)
		of++
		bel := v.Bench.Believe(h.With(chem.PH(v.Reading()), 0.005))
		list, sure := bel.Suspects()
		if sure < belief.NamedAt {
			continue
		}
		for i, m := range list {
			if m.Code == "bottle:1:"+v.Bench.Stocks[took].Name {
				asked++
				if i == 0 {
					alone++
				}
			}
		}
	}
	t.Logf("%d of %d named, %d as the likeliest", asked, of, alone)
	require.Greater(t, of, 80)
	assert.GreaterOrEqual(t, float64(asked), 0.95*float64(of))
	assert.GreaterOrEqual(t, float64(alone), 0.8*float64(of))
}

// TestTheBottleAsSaidIsNotDoubted: nobody is asked about the bottle where it was the right one.
func TestTheBottleAsSaidIsNotDoubted(t *testing.T) {
	r := rand.New(rand.NewPCG(72, 9))
	for range 60 {
		v := coachtest.NewVirtual(r)
		v.Titrate(func(h coach.History, a coach.Advice, y float64) {
			for _, c := range a.Codes() {
				require.NotContains(t, c, "bottle:", "%v", a)
			}
		})
	}
}
