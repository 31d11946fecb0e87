package run_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
)

// reading takes one value of three decimals at the present second.
func (b *bench) reading(y float64) view.View {
	b.t.Helper()
	y = math.Round(1000*y) / 1000
	require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 3}}))
	return b.keep.Look(b.sec)
}

// back is how many seconds of steady readings, one each every seconds, it takes
// until something is to be done again.
func (b *bench) back(ph, every float64) float64 {
	b.t.Helper()
	r := rand.New(rand.NewPCG(uint64(100*ph), 3))
	for from := b.sec; b.sec-from < 300; {
		b.sec += every
		v := b.reading(ph + 0.002*r.NormFloat64())
		switch {
		case v.Advice.Do == coach.Add && v.Advice.Reason != coach.Dosing, v.Advice.Do == coach.Stop, v.Advice.Reason == coach.HandsOff:
			return b.sec - from
		}
	}
	return math.Inf(1)
}

// After a disturbance the advice is back within 15 s of steady readings at one a
// second. The table is that of the closing notes; -v prints it.
func TestAdviceIsBackAfterADisturbance(t *testing.T) {
	values := func(ys ...float64) func(*bench, float64) {
		return func(b *bench, _ float64) {
			for _, y := range ys {
				b.sec++
				b.reading(y)
			}
		}
	}
	for _, c := range []struct {
		name    string
		every   float64 // s between readings
		within  float64
		disturb func(b *bench, ph float64)
	}{
		{"two wild readings", 1, 3, values(14.5, -0.5)},
		{"four wild readings, one by one", 1, 3, func(b *bench, ph float64) { values(14, ph, 1.4, ph, 12, ph, 3, ph)(b, ph) }},
		{"out and in again", 1, 15, func(b *bench, ph float64) {
			for i := range 20 {
				b.sec++
				b.reading(6.2 - 0.03*float64(i%7))
			}
		}},
		{"by way of pH 7", 1, 15, func(b *bench, ph float64) {
			for range 30 {
				b.sec++
				b.reading(7)
			}
			require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Immersed}))
		}},
		{"bubbles for 20 s", 1, 15, func(b *bench, ph float64) {
			r := rand.New(rand.NewPCG(5, 5))
			for range 20 {
				b.sec++
				b.reading(ph + 0.08*r.NormFloat64())
			}
		}},
		{"frozen, and moving again", 1, 15, func(b *bench, ph float64) {
			for range 40 {
				b.sec++
				b.reading(ph)
			}
		}},
		{"a line 15 s late", 1, 3, func(b *bench, _ float64) { b.sec += 15; b.keep.Look(b.sec) }},
		{"stopped for two minutes", 1, 3, func(b *bench, _ float64) { b.sec += 120; b.keep.Look(b.sec) }},
		{"the line lost and back", 1, 3, func(b *bench, _ float64) {
			link := func(s meter.Link) {
				require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.LinkChange, Link: &journal.Link{State: s.String()}}))
			}
			link(meter.Lost)
			b.sec += 30
			link(meter.Live)
		}},
		{"an addition keyed and withdrawn", 1, 15, func(b *bench, ph float64) {
			a, err := b.keep.State.Addition("acid", 3, 0)
			require.NoError(b.t, err)
			require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &a}))
			for range 4 {
				b.sec++
				b.reading(ph)
			}
			en, _ := b.keep.State.Latest()
			require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Undone, Undo: &journal.Undo{Seq: en.Seq}}))
		}},
		{"one reading in 5 s", 5, 60, func(*bench, float64) {}},
		{"one reading in 10 s", 10, 60, func(*bench, float64) {}},
		{"one reading in 30 s", 30, 90, func(*bench, float64) {}},
	} {
		b, was := after(t)
		ph := was.Settling.Now // where it stands: one that goes to its end in a second has moved
		for range 20 {
			b.sec++
			b.reading(ph + 0.001)
		}
		c.disturb(b, ph)
		got := b.back(ph, c.every)
		t.Logf("%-32s %4.0f s", c.name, got)
		assert.LessOrEqual(t, got, c.within, c.name)
	}
}
