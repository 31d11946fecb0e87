package order

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
)

// Drops that fall into a beaker that takes many show by a climb of 0.006 at the least, or of
// the noise where that is more.
func TestDropsThatShowLittle(t *testing.T) {
	for _, tt := range []struct {
		down, noise float64
		shows       bool
	}{{0.004, 0, false}, {0.008, 0, true}, {0.008, 0.012, false}, {0.015, 0.012, true}} {
		o := acid
		est := before
		o.GoesOn(est, 130)
		est.Now, est.Noise = est.Now-tt.down, tt.noise
		o.GoesOn(est, 135)
		assert.Equal(t, tt.shows, o.FarAt == 135, "%+v", tt)
	}
}

// What a person is asked about a movement against the order: from 0.08 on, and from three
// spreads of where the reading stood, once it has stood there for two seconds.
func TestAgainstAnOrderForAWhile(t *testing.T) {
	for _, tt := range []struct {
		up, sd, rested float64
		asked          bool
	}{
		{0.07, 0.002, 5, false}, {0.09, 0.002, 5, true}, {0.09, 0.002, 1.5, false}, {0.09, 0.002, 2.5, true},
		{0.13, 0.05, 5, false}, {0.17, 0.05, 5, true}, {0.1, 0.04, 5, false},
	} {
		b := at(probe.Estimate{State: probe.Settled, End: 9 + tt.up, Now: 9 + tt.up}, 140)
		b.Moves[0].Before.SD, b.Moves[0].To, b.Moves[0].Rested = tt.sd, 140-tt.rested, 140-tt.rested
		f, ok := acid.Falling(b)
		assert.Equal(t, tt.asked, ok && f.Against, "%+v", tt)
	}
}

// Whether what was ordered was given is asked when the reading has been at rest for 12 s; for
// 40 s where it is still on its way to its end, as that of an old electrode is.
func TestWhenItIsAsked(t *testing.T) {
	for _, tt := range []struct {
		rested, left float64
		asked        bool
	}{{10, 0, false}, {13, 0, true}, {30, 0.2, false}, {38, 0.2, false}, {45, 0.2, true}} {
		end := 9 - 0.6 // all of it
		b := at(probe.Estimate{State: probe.Settled, End: end, Now: end + tt.left}, 300)
		b.Moves[0].To, b.Moves[0].Rested = 300-tt.rested, 300-tt.rested
		f, ok := acid.Falling(b)
		assert.True(t, ok)
		assert.Equal(t, tt.asked, f.Asks, "%+v", tt)
	}
}

// A first drop that was told of, of which nothing shows, is asked about after 30 s; where
// values are typed six drops take 0.7 s each besides.
func TestAToldDropThatDoesNotShow(t *testing.T) {
	o := acid
	o.Dosed = 130
	for after, asked := range map[float64]bool{20: false, 28: false, 31: true, 40: true} {
		f, ok := o.Falling(unmoved(before, 130+after))
		assert.True(t, ok)
		assert.Equal(t, asked, f.Asks, "%g s", after)
	}
	for after, asked := range map[float64]bool{33: false, 35: true} {
		b := unmoved(before, 130+after)
		b.ByHand = true
		f, _ := o.Falling(b)
		assert.Equal(t, asked, f.Asks, "%g s, typed", after)
	}
}

// Of values that are typed, nearer is by more than a digit may flicker, one and a half, and by
// more than the electrode creeps.
func TestATypedValueIsNearer(t *testing.T) {
	for digits, nearer := range map[float64]bool{1: false, 1.4: false, 1.6: true, 2: true} {
		b := unmoved(probe.Estimate{State: probe.Settled, Now: 9 - 0.01*digits, End: 9 - 0.01*digits}, 200)
		b.ByHand, b.Resolution, b.WildAt = true, 0.01, math.NaN()
		assert.Equal(t, nearer, acid.Nearer(b), "%g digits", digits)
	}
}
