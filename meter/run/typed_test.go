package run_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/run/view"
)

// byHand is a run whose readings are typed.
func byHand(t *testing.T) *keep.Keeper {
	t.Helper()
	e := first(tris())
	e.Start.Source = recorded.ByHand
	k, err := keep.NewKeeper(e, &keep.Discard{}, wall)
	require.NoError(t, err)
	return k
}

func typeIn(t *testing.T, k *keep.Keeper, at, ph float64, stands bool) view.View {
	t.Helper()
	require.NoError(t, k.Take(journal.Event{T: at, Kind: journal.Read,
		Reading: &journal.Reading{PH: &ph, Decimals: 2, Typed: true, Stands: stands}}))
	return k.Look(at)
}

func give(t *testing.T, k *keep.Keeper, at float64, titrant string, drops float64) view.View {
	t.Helper()
	a, err := k.State.Addition(titrant, drops, 0)
	require.NoError(t, err)
	require.NoError(t, k.Take(journal.Event{T: at, Kind: journal.Added, Added: &a}))
	return k.Look(at)
}

func TestARunByHand(t *testing.T) {
	k := byHand(t)
	v := k.Look(0)
	assert.True(t, v.ByHand)
	assert.Equal(t, "READ the pH and type it", v.Sentence(), "before anything is typed")

	v = typeIn(t, k, 30, 10.70, true)
	require.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
	assert.Equal(t, probe.Settled, v.Settling.State)
	assert.Equal(t, 10.70, v.Settling.Now)
	assert.InDelta(t, 10.70, v.Settling.End, 2*v.Settling.SD, "its late part is on the way from storage")
	assert.Nil(t, v.Next, "an order stands")
	v = k.Look(200)
	assert.Equal(t, coach.Add, v.Advice.Do, "a value that was typed is not stale after seconds: %s", v.Sentence())

	v = give(t, k, 210, "acid", v.Advice.Drops)
	assert.Equal(t, coach.Wait, v.Advice.Do, "nothing is advised before somebody has looked")
	require.NotNil(t, v.Next)
	assert.Equal(t, coach.Wait, k.Look(900).Advice.Do, "nor long after")
	v = typeIn(t, k, 901, 8.80, true)
	assert.Equal(t, coach.Add, v.Advice.Do, "one value an addition will do: %s", v.Sentence())
}

// Each figure of the times at which a value is wanted.
func TestWhenTheNextValueIsWanted(t *testing.T) {
	k := byHand(t)
	typeIn(t, k, 10, 10.70, false)
	v := k.Look(25)
	require.NotNil(t, v.Next)
	assert.InDelta(t, 5, v.Next.In, 1e-9, "20 s after a value in passing")
	assert.Equal(t, "WAIT 5 s, or until it is steady, then type the pH", v.Sentence())
	assert.Equal(t, "READ the pH and type it", k.Look(29.5).Sentence())
	typeIn(t, k, 40, 10.70, true)
	v = give(t, k, 50, "acid", 30)
	assert.GreaterOrEqual(t, v.Next.In, 20.0, "it has to mix")
	assert.LessOrEqual(t, v.Next.In, 30.0, "with an electrode of some seconds")
	assert.True(t, v.Next.Mixing)

	slow := byHand(t)
	for i, ph := range []float64{11.60, 11.20, 10.95, 10.82, 10.76, 10.73, 10.71} {
		typeIn(t, slow, 10+20*float64(i), ph, false)
	}
	typeIn(t, slow, 200, 10.70, true)
	v = give(t, slow, 210, "acid", 30)
	assert.InDelta(t, 60, v.Next.In, 10, "longer with a slow one, and never longer than a minute")
}

// After an addition it is wanted when that has mixed in, 8 s, and four time constants of
// the electrode have gone by, told in fives; that is what was typed that tells of it.
func TestTheWaitAfterAnAddition(t *testing.T) {
	for _, typed := range [][]float64{{10.7}, {10.71, 10.70, 10.70, 10.70, 10.70}, {11.2, 10.8, 10.72, 10.70}, {11.0, 10.75, 10.71}, {11.5, 10.9, 10.75, 10.71}} {
		k := byHand(t)
		for i, ph := range typed {
			typeIn(t, k, 10+10*float64(i), ph, false)
		}
		typeIn(t, k, 200, 10.70, true)
		v := give(t, k, 210, "acid", 30)
		tau := v.Settling.Tau
		require.True(t, tau > 2.5 && tau < 13, "%v: %g s", typed, tau)
		assert.Equal(t, 5*math.Ceil((8+4*tau)/5), v.Next.In, "%v: %g s", typed, tau)
	}
}

func TestAnOldValue(t *testing.T) {
	k := byHand(t)
	typeIn(t, k, 10, 10.70, true)
	assert.Equal(t, coach.Add, k.Look(10+290).Advice.Do)
	v := k.Look(10 + 310)
	assert.Equal(t, coach.Stale, v.Advice.Reason)
	assert.Contains(t, v.Why(), "the last value is 5 min old")
	assert.Equal(t, coach.Add, typeIn(t, k, 330, 10.70, true).Advice.Do)
}

// Whoever types before the order is on record is asked whether it was given, at once.
func TestAValueTypedBeforeTheOrderIsRecorded(t *testing.T) {
	k := byHand(t)
	v := typeIn(t, k, 10, 10.70, true)
	drops := v.Advice.Drops
	v = typeIn(t, k, 200, 9.1, true)
	require.Equal(t, coach.Unsaid, v.Advice.Reason, v.Sentence())
	assert.Nil(t, v.Next)
	v = give(t, k, 205, "acid", drops)
	assert.Equal(t, coach.Add, v.Advice.Do, "the value counts, and is not asked for again: %s", v.Sentence())
	e, ok := k.State.Latest()
	require.True(t, ok)
	assert.Equal(t, 10.70, e.Before.Now)

	k = byHand(t)
	typeIn(t, k, 10, 10.70, true)
	v = typeIn(t, k, 70, 10.69, true)
	assert.Equal(t, coach.Add, v.Advice.Do, "nothing has moved: the order stands")
	v = typeIn(t, k, 120, 10.68, true)
	assert.Equal(t, coach.Unsaid, v.Advice.Reason, "two digits the right way, and a minute after the order")
}

// A counted order takes the time that its drops need before anybody is asked.
func TestDropsCountedByHand(t *testing.T) {
	k := byHand(t)
	v := typeIn(t, k, 10, 10.70, true)
	require.NoError(t, k.Take(journal.Event{T: 20, Kind: journal.Dosing}))
	falls := 0.7 * v.Advice.Drops
	assert.Equal(t, coach.Dosing, k.Look(20+falls+28).Advice.Reason)
	assert.Equal(t, coach.Unsaid, k.Look(20+falls+31).Advice.Reason)
}

func TestAReadingThatDoesNotMoveByHand(t *testing.T) {
	k := byHand(t)
	v := typeIn(t, k, 10, 10.70, true)
	give(t, k, 20, "acid", v.Advice.Drops)
	v = typeIn(t, k, 60, 10.70, true)
	assert.Equal(t, coach.Check, v.Advice.Do, v.Sentence())
	v = typeIn(t, k, 100, 8.85, true)
	assert.Equal(t, coach.Wait, v.Advice.Do, "it has moved after all: %s", v.Sentence())
	require.NotNil(t, v.Next)
	assert.True(t, v.Next.Creeps)
	assert.Equal(t, "WAIT 40 s, then type the pH again", v.Sentence())
	typeIn(t, k, 140, 8.84, true)
	v = typeIn(t, k, 180, 8.84, true)
	assert.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
}

func TestSlips(t *testing.T) {
	k := byHand(t)
	v := typeIn(t, k, 10, 10.70, true)
	v = give(t, k, 20, "acid", v.Advice.Drops)
	typeIn(t, k, 60, 8.85, true)
	v = give(t, k, 70, "weak acid", 10)
	for _, tt := range []struct {
		typed    float64
		decimals int
		meant    string // empty: nothing is asked
		never    bool
	}{
		{8.79, 2, "", false},
		{8.84, 2, "", false},
		{9.10, 2, "", false}, // far off, but no slip of the finger makes it
		{8.6, 2, "", false},
		{87.9, 1, "8.79", true},
		{879, 0, "8.79", true},
		{0.879, 3, "8.79", false},
		{7.89, 2, "8.79", false}, // two digits have changed their places
		{-8.79, 2, "", true},
	} {
		t.Run(fmt.Sprint(tt.typed), func(t *testing.T) {
			d := k.State.Slip(110, typed.Value{PH: tt.typed, Decimals: tt.decimals})
			if tt.meant == "" && !tt.never {
				assert.Nil(t, d)
				return
			}
			require.NotNil(t, d)
			assert.Equal(t, tt.never, d.Never)
			if tt.meant != "" {
				assert.InDelta(t, 8.79, parsed(t, d.Meant), 1e-9)
			}
		})
	}
	fresh := byHand(t)
	assert.Nil(t, fresh.State.Slip(1, typed.Value{PH: 7.42, Decimals: 2}), "of the first value little is known")
	assert.NotNil(t, fresh.State.Slip(1, typed.Value{PH: 14.01, Decimals: 2}))
	assert.Nil(t, fresh.State.Slip(1, typed.Value{PH: 13.99, Decimals: 2}))
}

// After an addition the display goes from its level to where it should end. What it shows
// between, and is not said to stand at, is honest: "10.03 is far from 10.34, was it 10.30?"
// was asked of a value ten seconds after the dose.
func TestAValueOnItsWayIsNoSlip(t *testing.T) {
	asked := 0
	for drops := 10.0; drops <= 60; drops += 5 {
		k := byHand(t)
		typeIn(t, k, 10, 10.70, true)
		v := give(t, k, 20, "acid", drops)
		before := v.Entries[0].Before.End
		for i := range 300 { // where it should end is asked about least
			ph := 10.70 - float64(i)/100
			if k.State.Slip(35, typed.Value{PH: ph, Decimals: 2, Stands: true}) != nil {
				asked++
				assert.Less(t, ph, before)
				if d := k.State.Slip(35, typed.Value{PH: ph, Decimals: 2}); d != nil {
					assert.Less(t, ph, parsed(t, d.Meant)+0.06, "it is beyond its way, %g drops", drops)
				}
			}
		}
	}
	assert.Greater(t, asked, 20, "of those that were said to stand")
}

func parsed(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

// The figures from which on a value is asked about.
func TestHowFarASlipIs(t *testing.T) {
	k := byHand(t)
	typeIn(t, k, 10, 7.42, true) // the spread is small: 0.15 decides
	assert.NotNil(t, k.State.Slip(30, typed.Value{PH: 7.24, Decimals: 2}), "0.18 off")
	k = byHand(t)
	typeIn(t, k, 10, 7.32, true)
	assert.Nil(t, k.State.Slip(30, typed.Value{PH: 7.23, Decimals: 2}), "0.09 off")
	k = byHand(t)
	typeIn(t, k, 10, 7.47, true)
	assert.NotNil(t, k.State.Slip(30, typed.Value{PH: 7.24, Decimals: 2}), "7.42 is 0.05 off")
	k = byHand(t)
	typeIn(t, k, 10, 7.53, true)
	assert.Nil(t, k.State.Slip(30, typed.Value{PH: 7.24, Decimals: 2}), "7.42 is 0.11 off")
}

func TestATypedReadingInTheJournal(t *testing.T) {
	ph := 7.42
	for _, r := range []journal.Reading{
		{PH: &ph, Decimals: 2}, {PH: &ph, Decimals: 2, Typed: true}, {PH: &ph, Decimals: 2, Typed: true, Stands: true},
	} {
		b, err := json.Marshal(r)
		require.NoError(t, err)
		var back journal.Reading
		require.NoError(t, json.Unmarshal(b, &back))
		assert.Equal(t, r, back)
	}
	b, _ := json.Marshal(journal.Reading{PH: &ph, Decimals: 2})
	assert.NotContains(t, string(b), "typed", "a reading of a line is as it was")
}

// Nobody is sent home on a value whose late part may still take it out of the
// tolerance: another look a minute later is asked for.
func TestAnotherLookBeforeTheEnd(t *testing.T) {
	for _, tt := range []struct {
		after float64 // s, from the last addition to the value
		ph    float64
		waits bool
	}{{5, 8.21, true}, {50, 8.19, true}, {240, 8.21, false}, {240, 8.18, true}} {
		k := byHand(t)
		typeIn(t, k, 10, 10.70, true)
		give(t, k, 20, "acid", 36)
		typeIn(t, k, 60, 8.81, true)
		give(t, k, 70, "acid", 50)
		v := typeIn(t, k, 70+tt.after, tt.ph, true)
		t.Logf("after %.0f s: ± %.4f, %.2f times what it would be; %s", tt.after, v.Settling.SD, v.Settling.SD/v.Settling.FinalSD, v.Sentence())
		assert.Equal(t, tt.waits, v.Advice.Do == coach.Wait, v.Sentence())
		if tt.waits {
			require.NotNil(t, v.Next)
		}
	}
}

// A pH that is typed while an order stands is an amount there; one that no drops are is
// asked about. What is counted is not.
func TestATypedPHIsNoNumberOfDrops(t *testing.T) {
	k := byHand(t)
	v := typeIn(t, k, 10, 10.70, true)
	require.Equal(t, coach.Add, v.Advice.Do)
	for drops, asked := range map[float64]bool{8.85: true, 74.2: true, 88.5: false, 30: false, 29.5: false} {
		a, err := k.State.Addition("acid", drops, 0)
		require.NoError(t, err)
		d := k.State.Doubt(a, nil)
		require.Equal(t, asked, d != nil, "%g: %v", drops, d)
		if asked {
			assert.Contains(t, d.Error(), "drops are whole ones or halves, and a pH counts once the order is on record")
		}
	}
}
