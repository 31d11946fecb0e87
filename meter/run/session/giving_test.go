package session_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/sim"
)

// plate is a simulated bench at which drops fall one by one.
type plate struct{ *sim.Bench }

func (p plate) Begin(titrant string, drops float64) (session.Pour, error) {
	return p.Bench.Begin(titrant, drops, 0)
}

func dripping(b *sim.Bench) session.Dispenser { return plate{b} }

// At the simulated plate Enter lets the drops fall one by one, and records them
// when the last one is in; nothing else is recorded meanwhile.
func TestEnterLetsTheDropsFall(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, dripping)
		defer l.stop()
		v := l.after(60 * time.Second)
		require.True(t, v.Ordered)
		order := v.Advice.Drops
		require.Greater(t, order, 10.0)
		before := l.bench.True()
		l.Post(intent.Intent{ID: 1, Kind: intent.Add, Titrant: v.Titrant, Drops: order})
		v = l.after(3 * time.Second)
		require.NotNil(t, v.Giving)
		assert.InDelta(t, 6, v.Giving.Fallen, 1, "one or two a second")
		assert.Equal(t, order, v.Giving.Drops)
		assert.Equal(t, int64(1), v.Heard)
		assert.Empty(t, v.Entries)
		require.NotNil(t, v.Falling)
		part := l.bench.True()
		assert.Less(t, part, before)
		l.Post(intent.Intent{ID: 2, Kind: intent.Undo})
		l.Post(intent.Intent{ID: 3, Kind: intent.Add, Titrant: v.Titrant, Drops: 3})
		v = l.after(time.Second)
		require.Len(t, v.Answers, 2)
		assert.Contains(t, v.Answers[0].Text, "the drops are falling")
		assert.Contains(t, v.Answers[1].Text, "the drops are falling")
		v = l.after(time.Duration(order) * time.Second)
		assert.Nil(t, v.Giving)
		require.Len(t, v.Entries, 1)
		assert.Equal(t, order, v.Entries[0].Drops)
		assert.Less(t, l.bench.True(), part)
		require.NotEmpty(t, v.Answers)
		assert.Equal(t, int64(1), v.Answers[0].To.ID)
		assert.Contains(t, v.Answers[0].Text, "recorded: ")
		added := l.kinds(journal.Added)
		require.NotNil(t, added[0].Added.From)
		assert.InDelta(t, 60, *added[0].Added.From, 1.5)
		l.Post(intent.Intent{ID: 4, Kind: intent.Undo})
		l.after(time.Second)
		assert.InDelta(t, before, l.bench.True(), 1e-6, "and all of it can be taken back")
	})
}

// Space lets one drop fall; Enter then lets fall what is left of the order, and
// another number that is recorded is what was given.
func TestSpaceLetsOneFall(t *testing.T) {
	for name, recorded := range map[string]func(order float64) float64{
		"the order":  func(order float64) float64 { return order },
		"the count":  func(float64) float64 { return 3 },
		"many more":  func(order float64) float64 { return order + 4 },
		"one of all": func(float64) float64 { return 1 },
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				l := going(t, dripping)
				defer l.stop()
				v := l.after(60 * time.Second)
				order, before := v.Advice.Drops, l.bench.True()
				for n := 1.0; n <= 3; n++ {
					l.Post(intent.Intent{Kind: intent.Dose, Titrant: v.Titrant, Drops: n})
					l.after(time.Second)
				}
				part := l.bench.True()
				assert.Less(t, part, before)
				assert.Nil(t, v.Giving)
				want := recorded(order)
				l.Post(intent.Intent{Kind: intent.Add, Titrant: v.Titrant, Drops: want})
				v = l.after(time.Duration(order) * time.Second)
				require.Len(t, v.Entries, 1)
				assert.Equal(t, want, v.Entries[0].Drops)
				switch {
				case want > 3:
					assert.Less(t, l.bench.True(), part-0.01)
				case want < 3:
					assert.Greater(t, l.bench.True(), part+0.01)
				default:
					assert.InDelta(t, part, l.bench.True(), 0.05, "but for the scatter of drops")
				}
				l.Post(intent.Intent{Kind: intent.Undo})
				l.after(time.Second)
				assert.InDelta(t, before, l.bench.True(), 1e-6)
			})
		})
	}
}

// Drops that Space let fall and that were then not given after all are taken
// out of the simulated beaker; a run that is closed in the middle has them all.
func TestDropsThatWereNotGiven(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, dripping)
		defer l.stop()
		v := l.after(60 * time.Second)
		order, before := v.Advice.Drops, l.bench.True()
		l.Post(intent.Intent{Kind: intent.Dose, Titrant: v.Titrant, Drops: order + 2})
		l.after(time.Second)
		assert.Less(t, l.bench.True(), before)
		l.Post(intent.Intent{Kind: intent.Decline})
		l.after(time.Second)
		assert.InDelta(t, before, l.bench.True(), 1e-6)
		v = l.after(60 * time.Second)
		require.True(t, v.Ordered)
		l.Post(intent.Intent{Kind: intent.Add, Titrant: v.Titrant, Drops: v.Advice.Drops})
		l.after(time.Second)
		l.Post(intent.Intent{Kind: intent.End, Text: "left"})
		l.after(time.Second)
		require.Len(t, l.kinds(journal.Added), 1)
		assert.Equal(t, v.Advice.Drops, l.kinds(journal.Added)[0].Added.Drops)
		assert.Less(t, l.bench.True(), before)
		end := l.kinds(journal.Ended)
		require.Len(t, end, 1)
		assert.Nil(t, end[0].End.Read, "nothing was at rest")
	})
}

// A bottle that is brought to the simulated plate gives what its label says.
func TestBottleAtTheSimulatedPlate(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, dripping)
		defer l.stop()
		l.after(30 * time.Second)
		l.Post(intent.Intent{Kind: intent.Bottle, Text: "acetic acid 1 M"})
		l.Post(intent.Intent{Kind: intent.Bottle, Text: "unobtainium 1 M"})
		l.Post(intent.Intent{Kind: intent.Bottle, Text: "acetic acid 1 M"})
		v := l.after(time.Second)
		require.Len(t, v.Answers, 3)
		assert.Equal(t, "available from now on: acetic acid 1 M (2)", v.Answers[2].Text)
		assert.Equal(t, "available from now on: acetic acid 1 M", v.Answers[0].Text)
		assert.True(t, v.Answers[1].Failed)
		before := l.bench.True()
		l.Post(intent.Intent{Kind: intent.Add, Titrant: "acetic acid 1 M", Drops: 20})
		v = l.after(30 * time.Second)
		require.Len(t, v.Entries, 1)
		assert.Less(t, l.bench.True(), before-0.05)
	})
}
