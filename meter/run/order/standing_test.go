package order

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
)

// before is a reading that has stood at 9.000 on a meter with three decimals.
var before = probe.Estimate{State: probe.Settled, End: 9, Now: 9, SD: 0.002}

// acid are six drops of acid ordered on it at 120 s: the reading is to go down.
var acid = Standing{Advice: &journal.Advice{Titrant: "acid", Drops: 6, ML: 0.3}, Pull: -1, T: 120, Est: before}

// at is a beaker that has left that reading since 126 s, and where a drop leads 0.1 down.
func at(est probe.Estimate, t float64) *Beaker {
	return &Beaker{T: t, Est: est, WildAt: math.NaN(), Resolution: 0.001,
		Moves: []probe.Move{{From: 126, To: math.NaN(), Before: before}},
		Drops: func(from, to float64) float64 { return (from - to) / 0.1 }}
}

// unmoved is one in which no movement was seen.
func unmoved(est probe.Estimate, t float64) *Beaker {
	b := at(est, t)
	b.Moves = nil
	return b
}

// A reading goes against an order that leads down when it has gone up by 0.03, or by three
// spreads of where it stood; a display that flickers does not take an order back.
func TestAReadingGoesAgainstAnOrder(t *testing.T) {
	for up, against := range map[float64]bool{0.02: false, 0.028: false, 0.034: true, 0.05: true, -0.2: false} {
		est := probe.Estimate{State: probe.Moving, Now: before.End + up}
		assert.Equal(t, against, acid.Leaves(at(est, 130)), "moving, and %g up", up)
	}
	assert.False(t, acid.Leaves(at(probe.Estimate{State: probe.Settled, Now: before.End + 0.2}, 130)), "at rest it is asked about instead")
}

// What was ordered while the electrode was still on its way begins before it has arrived: a
// reading that goes on towards its end, faster than it did, goes with the order and not
// against it. Ordered at 4.84, on the way to 5.32, the first drops of 16 were taken for
// somebody who lifts the electrode.
func TestDropsThatFallBeforeTheElectrodeHasArrived(t *testing.T) {
	for _, tt := range []struct {
		end, shown, now float64 // where the reading was going and what it showed when it began, and shows
		with            bool
	}{
		{8.5, 9, 8.9, true}, // down, as acid leads, and not there yet
		{8.5, 9, 9.2, false},
		{9, 8.5, 8.9, true}, // on its way up, and turned back
		{9, 8.5, 9.2, false},
		{9, 9, 8.9, true},
	} {
		m := probe.Move{From: 1, Before: probe.Estimate{End: tt.end, Now: tt.shown, SD: before.SD}}
		assert.Equal(t, tt.with, acid.onward(m, tt.now) > 0, "%+v", tt)
	}
}

// What goes the way of an order, and much further than it leads, is an electrode that goes into
// another liquid: from 7.01 in a standard to 2.41 in the beaker was taken for the drops of an
// order that led to 6.5. A first drop that was told of is one, wherever it leads.
func TestAMovementBeyondTheOrder(t *testing.T) {
	o := acid
	o.Advice = &journal.Advice{Titrant: "acid", Drops: 6, ML: 0.3, PHAfter: 8.4}
	for to, beyond := range map[float64]bool{8.4: false, 7.1: false, 6.5: false, 6.1: true, 4.4: true} {
		b := at(probe.Estimate{State: probe.Moving, Now: to, End: to}, 130)
		_, falls := o.Falling(b)
		assert.Equal(t, beyond, o.Leaves(b), "to %g", to)
		assert.Equal(t, !beyond, falls, "to %g", to)
		o.Blind = true // where it leads nobody knew
		assert.False(t, o.Leaves(b), "to %g", to)
		o.Blind = false
		b.Moves[0].Told = true
		assert.False(t, o.Leaves(b), "told, to %g", to)
	}
}

// What has begun goes on, for as long as its drops take, where the movement hides in the noise
// again: adding was taken back while drops fell in one run of eight.
func TestWhatHasBegunGoesOn(t *testing.T) {
	o := acid
	o.Begun = 126
	for after, on := range map[float64]bool{1: true, 7: true, 9: false, 15: false} { // six drops, 1.3 s each
		_, ok := o.Falling(unmoved(before, 126+after))
		assert.Equal(t, on, ok, "%g s", after)
	}
	b := at(probe.Estimate{State: probe.Moving, Now: 9.2}, 128) // it is lifted out
	_, ok := o.Falling(b)
	assert.False(t, ok)
	o.Begun = 0
	_, ok = o.Falling(unmoved(before, 127))
	assert.False(t, ok)
}

// Many drops take their time: who gives 121 at one a second is not asked after a minute whether
// they were given.
func TestManyDropsAreNotAskedAboutInTheMiddle(t *testing.T) {
	nearer := probe.Estimate{State: probe.Settled, End: 8.98, Now: 8.98, SD: 0.002}
	for drops, asked := range map[float64]map[float64]bool{6: {50: false, 65: true}, 121: {65: false, 120: false, 160: false, 175: true}} {
		o := acid
		o.Advice = &journal.Advice{Titrant: "acid", Drops: drops}
		for after, asks := range asked {
			assert.Equal(t, asks, o.Unseen(unmoved(nearer, o.T+after)), "%g drops, %g s", drops, after)
		}
	}
}

// A reading is called at rest within 0.05 of its end, after a long way within a twentieth
// of it.
func TestAtRestAfterAWay(t *testing.T) {
	for _, tt := range []struct {
		way, left float64
		rest      bool
	}{
		{0.2, 0.03, true}, {0.2, 0.045, true}, {0.2, 0.055, false}, {0.2, 0.09, false},
		{3, 0.08, true}, {3, 0.14, true}, {3, 0.16, false}, {3, 0.29, false},
	} {
		est := probe.Estimate{State: probe.Settling, End: 6, Now: 6 + tt.left}
		assert.Equal(t, tt.rest, at(est, 200).stands(6+tt.way), "%g left of %g", tt.left, tt.way)
	}
}

// An order of which nothing was seen is asked about after a minute, where the reading has
// come nearer; not before, and not where it stands as it did.
func TestAnOrderThatNobodySawIsAskedAbout(t *testing.T) {
	nearer := acid.Est
	nearer.State, nearer.End = probe.Settled, nearer.End-3*nearer.SD
	for after, asked := range map[float64]bool{31: false, 58: false, 61: true, 119: true} {
		assert.Equal(t, asked, acid.Unseen(unmoved(nearer, 120+after)), "%g s after it", after)
	}
	same := acid.Est
	same.State = probe.Settled
	assert.False(t, acid.Unseen(unmoved(same, 240)))
}

// Whoever begins at once takes 10 s to reach for the bottle and 1.3 s for each of six
// drops: until then a quarter of a spread nearer may be the first of them.
func TestAnOrderMayHaveBegun(t *testing.T) {
	nearer := func(spreads float64) probe.Estimate {
		est := acid.Est
		est.End -= spreads * est.SD
		return est
	}
	for after, begun := range map[float64]bool{2: true, 13.5: true, 17.5: true, 18.1: false, 24: false, 30: false} {
		assert.Equal(t, begun, acid.Begins(at(nearer(1), 120+after)), "%g s after it", after)
	}
	for spreads, begun := range map[float64]bool{0.14: false, 0.23: false, 0.27: true, 0.45: true, -1: false} {
		assert.Equal(t, begun, acid.Begins(at(nearer(spreads), 122)), "%g spreads nearer", spreads)
	}
}

// Drops of a slow hand go on for 1.3 s each, as long as less than 0.8 of what was ordered
// has shown; after that nothing is left to wait for.
func TestDropsGoOn(t *testing.T) {
	end := func(share float64) probe.Estimate { // where so much of the order leads from 9
		return probe.Estimate{State: probe.Settling, End: 9 - share*0.6}
	}
	rested := probe.Move{Before: before, Rested: 125}
	for share, on := range map[float64]bool{0.45: true, 0.75: true, 0.85: false, 1.5: false} {
		assert.Equal(t, on, acid.goesOn(at(end(share), 127), rested, 125), "%g of the order", share)
	}
	for after, on := range map[float64]bool{3.5: true, 7.5: true, 8: false, 15: false} {
		assert.Equal(t, on, acid.goesOn(at(end(0.3), 125+after), rested, 125), "%g s after the first", after)
	}
}

// A movement may be the doing of an order from 2 s before it on, as it was on the screen by
// then; an earlier one is not.
func TestAnOrderIsOnTheScreenBefore(t *testing.T) {
	from := at(acid.Est, 0).Moves[0].From
	for later, its := range map[float64]bool{-3: true, 1.1: true, 1.9: true, 2.1: false, 3.9: false} {
		o := acid
		o.T = from + later
		_, ok := o.Falling(at(probe.Estimate{State: probe.Moving, Now: before.End - 0.3}, from+10))
		assert.Equal(t, its, ok, "an order %g s after the movement began", later)
	}
}

// An addition is what was ordered by its drops, or by its mL when nobody counted.
func TestWhatWasOrdered(t *testing.T) {
	for _, tt := range []struct {
		a    journal.Addition
		same bool
	}{
		{journal.Addition{Titrant: "acid", Drops: 6, ML: 0.3}, true},
		{journal.Addition{Titrant: "acid", ML: 0.3}, true},
		{journal.Addition{Titrant: "acid", Drops: 5, ML: 0.3}, false},
		{journal.Addition{Titrant: "acid", ML: 0.31}, true}, // as it is read off
		{journal.Addition{Titrant: "acid", ML: 0.345}, false},
		{journal.Addition{Titrant: "base", Drops: 6}, false},
	} {
		assert.Equal(t, tt.same, acid.Is(&tt.a), "%+v", tt.a)
	}
	none := Standing{}
	assert.False(t, none.Is(&journal.Addition{}))
}

// Where the reading has moved by quite another number of drops than was ordered, that is
// said when it is asked about.
func TestLikeAnotherNumber(t *testing.T) {
	for end, like := range map[float64]float64{8.4: 0, 8.6: 0, 8.7: 3, 8.0: 0, 7.9: 11, 8.97: 0, 9.2: 0} {
		assert.Equal(t, like, acid.like(at(probe.Estimate{End: end}, 200)), "at %g", end)
	}
}

// Drops that do so much more than they should that the reading is well past the aim while they
// fall: no more of them. A streak of titrant that goes by is no reason, nor is a first reading
// typed on its way.
func TestNoMoreOfIt(t *testing.T) {
	for _, c := range []struct {
		pull, low, high, now float64
		byHand, past         bool
	}{
		{-1, 7.3, 7.6, 7.0, false, false},
		{-1, 7.3, 7.6, 6.83, false, false},
		{-1, 7.3, 7.6, 6.7, false, true},
		{-1, 7.3, 7.6, 6.7, true, false},
		{-1, 6.3, 7.6, 6.7, false, false}, // as was said
		{-1, 6.3, 7.6, 5.9, false, true},
		{-1, 0, 0, 6.7, false, true}, // an old journal
		{1, 6.3, 6.8, 7.1, false, false},
		{1, 6.3, 6.8, 7.3, false, true},
		{1, 6.3, 7.2, 7.3, false, false},
	} {
		o := acid
		o.Pull, o.Dosed = c.pull, 125
		o.Advice = &journal.Advice{Titrant: "bottle", Drops: 6, ML: 0.3, Aim: 7, PHAfter: (c.low + c.high) / 2, PHLow: c.low, PHHigh: c.high}
		b := at(probe.Estimate{State: probe.Moving, Now: c.now, End: c.now}, 128)
		b.Moves, b.ByHand = nil, c.byHand
		for at := 125.0; at <= b.T; at++ {
			o.Passes(c.now, at, 1)
		}
		f, ok := o.Falling(b)
		assert.True(t, ok)
		assert.Equal(t, c.past, f.Past, "%+v", c)
		assert.Equal(t, c.past, f.Asks, "%+v", c)
	}
}

// A reading that moves on is not at rest, however long a slow hand has been at it: GIVEN? and
// ADDING changed places with each drop.
func TestNobodyIsAskedWhileItMoves(t *testing.T) {
	for drift, asks := range map[float64]bool{0: true, 0.0008: true, 0.0012: false, 0.006: false} {
		b := at(probe.Estimate{State: probe.Settling, Now: 8.4, End: 8.4, SD: 0.01, Drift: drift}, 220)
		b.Moves[0].To, b.Moves[0].Rested = 200, 205
		f, ok := acid.Falling(b)
		assert.True(t, ok)
		assert.Equal(t, asks, f.Asks, "%g", drift)
	}
}

// Readings that come back after a silence, further the way the order leads, are its drops: the
// jump alone would be held back as one wild reading, and the order would stand once more.
func TestDropsThatFellInASilence(t *testing.T) {
	for shown, falls := range map[float64]bool{8.95: false, 9.3: false, 8.88: true, 8: true} {
		b := unmoved(before, 200)
		b.Back, b.Shown = 198, shown
		_, ok := acid.Falling(b)
		assert.Equal(t, falls, ok, "%g", shown)
	}
	for after, falls := range map[float64]bool{1: true, 8: true, 12: false, 19: false} {
		b := unmoved(before, 198+after)
		b.Back, b.Shown = 198, 8.5
		_, ok := acid.Falling(b)
		assert.Equal(t, falls, ok, "%g s after it", after)
	}
	b := unmoved(before, 5)
	b.Shown = 8.5 // there was no silence
	_, ok := acid.Falling(b)
	assert.False(t, ok)
}

// A careful hand gives 108 drops at one in 3 s: as long as the reading goes on by half a spread
// now and then it is not asked whether they were given; 20 s after it last did, and at rest for
// 40, it is, and after 4 s a drop in any case.
func TestACarefulHandIsNotAsked(t *testing.T) {
	o := acid
	o.Advice = &journal.Advice{Titrant: "acid", Drops: 108}
	end := func(share float64) probe.Estimate { return probe.Estimate{End: 9 - share*10.8, SD: 0.02} }
	m := probe.Move{Before: before, Rested: 130}
	for _, tt := range []struct {
		at, moved float64 // s since the first drop, and since the reading went on last
		on        bool
	}{{100, 1, true}, {100, 15, true}, {100, 22, false}, {30, 22, true}, {200, 1, true}, {200, 15, true}, {200, 22, false}, {420, 1, true}, {440, 1, false}} {
		o.FarAt = 125 + tt.at - tt.moved
		assert.Equal(t, tt.on, o.goesOn(at(end(0.5), 125+tt.at), m, 125), "%+v", tt)
	}
	o.FarAt = 0
	for by, goes := range map[float64]bool{0.008: false, 0.012: true, -0.1: false} {
		o.GoesOn(probe.Estimate{End: 9, SD: 0.02}, 10)
		o.GoesOn(probe.Estimate{End: 9 - by, SD: 0.02}, 20)
		assert.Equal(t, goes, o.FarAt == 20, "%g", by)
		o.FarAt = 0
	}
}

// Drops that stream by the bulb before they have mixed go past for a second or two each; a
// meter that sends every 5 s shows it once.
func TestAStreakIsNotPast(t *testing.T) {
	for _, tt := range []struct {
		every float64
		shown []float64
		past  bool
	}{
		{1, []float64{6, 6, 6, 6}, true}, {1, []float64{6, 6, 6}, false}, {1, []float64{6, 6, 7.2, 6, 6}, false},
		{5, []float64{7.2, 6}, true}, {0.5, []float64{6, 6, 6, 6, 6}, false}, {0.5, []float64{6, 6, 6, 6, 6, 6}, true},
	} {
		o := acid
		o.Dosed, o.Advice = 120, &journal.Advice{Titrant: "acid", Drops: 6, Aim: 7}
		b := unmoved(probe.Estimate{State: probe.Moving, Now: 6, End: 6}, 120)
		for _, y := range tt.shown {
			b.T += tt.every
			o.Passes(y, b.T, tt.every)
		}
		f, _ := o.Falling(b)
		assert.Equal(t, tt.past, f.Past, "%+v", tt)
	}
}

// A reading that has gone the other way than the order leads, and stands, is asked about as its
// doing: another bottle was taken. A flicker is not, nor one that still moves or was before it.
func TestItWentTheOtherWay(t *testing.T) {
	for _, tt := range []struct {
		up, after float64
		state     probe.State
		asked     bool
	}{
		{0.05, 30, probe.Settled, false}, {0.1, 30, probe.Settled, true}, {1.5, 30, probe.Settled, true},
		{1.5, 30, probe.Moving, false}, {1.5, 3, probe.Settled, true}, {1.5, 1.5, probe.Settled, false}, {-0.3, 30, probe.Settled, false},
	} {
		b := at(probe.Estimate{State: tt.state, Now: before.End + tt.up, End: before.End + tt.up}, 130+tt.after)
		b.Moves[0].To, b.Moves[0].Rested = 130, 130
		f, _ := acid.Falling(b)
		assert.Equal(t, tt.asked, f.Against && f.Asks, "%+v", tt)
	}
	o := acid // it comes back from there: what brings it no further than it was is not its drops
	for now, falls := range map[float64]bool{9.4: false, 9.01: false, 8.98: false, 8.95: true} {
		b := at(probe.Estimate{State: probe.Moving, Now: now, End: now}, 160)
		b.Moves[0].From, b.Moves[0].Before = 150, probe.Estimate{State: probe.Settled, End: 10.5, Now: 10.5, SD: 0.002}
		o.Astray = true
		_, ok := o.Falling(b)
		assert.Equal(t, falls, ok, "%g", now)
	}
}

// What a reading tells of the amount is told once it is known: within two spreads of where it may
// end nothing speaks for the order. Six drops lead 0.6 down; 0.2 down is two of them.
func TestAnotherAmountIsSaidOnceItIsKnown(t *testing.T) {
	for sd, like := range map[float64]float64{0.002: 2, 0.05: 2, 0.06: 2, 0.075: 0, 0.2: 0} { // 0.2 and 0.13 are 0.33 of it; 0.35 is more than 0.55
		assert.Equal(t, like, acid.like(at(probe.Estimate{State: probe.Settled, End: 8.8, SD: sd}, 140)), "±%g", sd)
	}
	assert.Zero(t, acid.like(at(probe.Estimate{State: probe.Settled, End: 8.6, SD: 0.002}, 140)), "four of six")
}
