package session_test

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// live is a session on the simulated bench with its own time.
type live struct {
	*session.Session
	bench *sim.Bench
	log   *kept
	stop  func()
}

// going opens a session; to be called within a bubble of synctest.
func going(t *testing.T, bench func(*sim.Bench) session.Dispenser) *live {
	t.Helper()
	p := tris()
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := sim.New(setup, sim.DefaultTruth(setup, 8))
	require.NoError(t, err)
	l := &live{bench: b, log: &kept{}}
	l.log.Append(&journal.Event{})
	k, err := keep.NewKeeper(first(p), l.log, wall)
	require.NoError(t, err)
	clock := sim.NewClock(1)
	l.Session = session.NewSession(k, b.Source(clock, time.Second), clock.Seconds, bench(b))
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- l.Run(ctx) }()
	l.stop = func() { cancel(); <-ended }
	return l
}

func at(b *sim.Bench) session.Dispenser { return b }

// after is the view when some time has passed, with all answers until then.
func (l *live) after(d time.Duration) view.View {
	time.Sleep(d)
	synctest.Wait()
	return <-l.Views()
}

func (l *live) kinds(kind journal.Kind) (out []journal.Event) {
	for _, e := range l.log.events {
		if e.Kind == kind {
			out = append(out, e)
		}
	}
	return out
}

// Each answer comes back with what was asked, in order, though nobody looked
// meanwhile, and the refused one does not hide behind the remark after it.
func TestAnswersAreAQueue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		l.Post(intent.Intent{ID: 1, Kind: intent.Add, Titrant: "no such bottle", Drops: 3})
		l.Post(intent.Intent{ID: 2, Kind: intent.Remark, Text: "stirred harder"})
		v := l.after(20 * time.Second)
		require.Len(t, v.Answers, 2)
		assert.Equal(t, int64(1), v.Answers[0].To.ID)
		assert.True(t, v.Answers[0].Failed)
		assert.Contains(t, v.Answers[0].Text, "no such titrant")
		assert.Equal(t, int64(2), v.Answers[1].To.ID)
		assert.False(t, v.Answers[1].Failed)
		assert.Equal(t, int64(2), v.Heard)
		v = l.after(time.Second)
		assert.Empty(t, v.Answers, "said once")
		assert.Equal(t, int64(2), v.Heard, "but what was heard stands in every view")
	})
}

// An amount that makes no sense is asked about, and recorded when it is meant.
func TestAmountsWithoutSense(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		v := l.after(60 * time.Second)
		require.Equal(t, coach.Add, v.Advice.Do)
		ordered := v.Advice.Drops
		for i, in := range []intent.Intent{
			{Titrant: "acid", Drops: 99999},
			{Titrant: "acid", ML: 100},
			{Titrant: v.Titrant, Drops: ordered*10 + 1},
		} {
			in.ID = int64(i + 1)
			l.Post(in)
			v = l.after(time.Second)
			require.Len(t, v.Answers, 1)
			assert.True(t, v.Answers[0].Asks, v.Answers[0].Text)
			assert.Contains(t, v.Answers[0].Text, "is accepted without a question")
			assert.Equal(t, in, v.Answers[0].To)
			assert.Empty(t, v.Entries)
		}
		in := v.Answers[0].To
		in.Sure = true
		l.Post(in)
		v = l.after(time.Second)
		require.Len(t, v.Entries, 1)
		assert.Equal(t, in.Drops, v.Entries[0].Drops)
		l.Post(intent.Intent{Kind: intent.Correct, Drops: 99999})
		v = l.after(time.Second)
		require.Len(t, v.Answers, 1)
		assert.True(t, v.Answers[0].Asks, "a correction is asked about as well")
		assert.Equal(t, in.Drops, v.Entries[0].Drops)
	})
}

// From the first drop that is told to the confirmation the order is frozen; the
// record has the times of both.
func TestDosingAndConfirmed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		v := l.after(60 * time.Second)
		require.True(t, v.Ordered)
		order := v.Advice.Drops
		l.Post(intent.Intent{Kind: intent.Dose, Titrant: v.Titrant, Drops: 1})
		l.Post(intent.Intent{Kind: intent.Dose, Titrant: v.Titrant, Drops: 2})
		v = l.after(5 * time.Second)
		require.NotNil(t, v.Falling)
		assert.Equal(t, coach.Dosing, v.Advice.Reason)
		assert.Equal(t, order, v.Advice.Drops)
		assert.Len(t, l.kinds(journal.Dosing), 1, "the second drop says nothing new")
		l.Post(intent.Intent{Kind: intent.Add, Titrant: v.Titrant, Drops: order})
		v = l.after(time.Second)
		assert.Nil(t, v.Falling)
		added := l.kinds(journal.Added)
		require.Len(t, added, 1)
		require.NotNil(t, added[0].Added.From)
		assert.InDelta(t, 60, *added[0].Added.From, 1.5)
		assert.InDelta(t, 65, added[0].T, 1.5)
	})
}

func TestDeclinedAndImmersed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := going(t, at)
		defer l.stop()
		l.Post(intent.Intent{Kind: intent.Decline})
		l.Post(intent.Intent{Kind: intent.Dose})
		v := l.after(500 * time.Millisecond)
		require.Len(t, v.Answers, 2)
		assert.Contains(t, v.Answers[0].Text, "nothing is ordered now")
		v = l.after(60 * time.Second)
		require.True(t, v.Ordered)
		l.Post(intent.Intent{Kind: intent.Dose})
		v = l.after(2 * time.Second)
		require.NotNil(t, v.Falling)
		l.Post(intent.Intent{Kind: intent.Decline})
		v = l.after(20 * time.Second)
		assert.Nil(t, v.Falling)
		assert.Len(t, l.kinds(journal.Declined), 1)
		assert.True(t, v.Ordered, "the advice is back")
		l.Post(intent.Intent{Kind: intent.Immersed})
		l.after(time.Second)
		assert.Len(t, l.kinds(journal.Immersed), 1)
	})
}
