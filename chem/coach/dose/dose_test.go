package dose_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/coach/dose"
)

// TestFreshAdviceLeavesRoomToWaver: in the mean an addition ends a little short of the aim, by a twentieth of
// the tolerance, so that the next readings do not at once make it one too many.
func TestFreshAdviceLeavesRoomToWaver(t *testing.T) {
	nearest := math.Inf(-1)
	for k := range 12 {
		b, shown := coachtest.Fine(0.1+0.0013*float64(k), 1e-6)
		a := b.Advise(coach.Request{Now: coachtest.Settled(shown, 0.001)})
		require.Equal(t, coach.Add, a.Do)
		nearest = max(nearest, (a.After-a.Aim)/a.Tolerance)
	}
	assert.Greater(t, nearest, -0.064)
	assert.Less(t, nearest, -0.038)
}

// TestStrongBottleFromFourDrops: a few drops of the strong bottle are left to the weaker one,
// of which nobody has to count more than fifty.
func TestStrongBottleFromFourDrops(t *testing.T) {
	fewest, most := math.Inf(1), 0.0
	for k := range 50 {
		b, shown := coachtest.Fine(0.02+0.004*float64(k), 1e-6)
		weak := coachtest.Stock("weak", 0.001*coachtest.Capacity(0.5))
		strong := coachtest.Stock("strong", 0.01*coachtest.Capacity(0.5))
		strong.Dropper = 1
		b.Stocks = []coach.Stock{weak, strong}
		a := b.Advise(coach.Request{Now: coachtest.Settled(shown, 0.001)})
		if a.Do != coach.Add {
			continue
		}
		if a.Stock == 1 {
			fewest = min(fewest, a.Drops)
		} else {
			most = max(most, a.Drops)
		}
	}
	assert.GreaterOrEqual(t, fewest, 4.0)
	assert.Less(t, fewest, 6.0)
	assert.Greater(t, most, 25.0)
	assert.LessOrEqual(t, most, 50.0)
}

// towards is the dosing of a stock the way that it leads.
func towards(bel *belief.Belief, stock int) dose.Dosing {
	return dose.Of(bel, stock, account.Sign(bel.Bench.LabelledDrops(stock, 1)))
}

// risk is the chance that drops of a stock bring the beaker past aim and tolerance.
func risk(b *coach.Bench, h coach.History, stock int, drops float64) float64 {
	bel := b.Believe(h)
	d := towards(&bel, stock)
	return d.Chance(drops)
}

// allowed is what the next addition of a stock may risk, after further ones that were
// each a share of what is left of it.
func allowed(b *coach.Bench, h coach.History, stock int, shares ...float64) float64 {
	bel := b.Believe(h)
	d := towards(&bel, stock)
	left := d.Most()
	for _, s := range shares {
		bel.History.Additions = append(slices.Clip(bel.History.Additions), coach.Addition{Stock: stock, Volume: chem.Volume(s*left) * b.Stocks[stock].Drop})
	}
	return d.Allowed()
}

// lastOf is what one may risk that may well be the last.
func lastOf(b *coach.Bench, h coach.History) float64 {
	bel := b.Believe(h)
	d := towards(&bel, 0)
	return d.Last()
}
