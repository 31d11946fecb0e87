package run_test

import (
	"context"
	"errors"
	"path/filepath"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/sim"
)

func TestCorrectionsOfAnAddition(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	_, err := b.keep.State.Correction(0, "", 7, 0, "")
	require.ErrorIs(t, err, run.ErrNothing)
	b.seconds(30)
	b.add("acid", 6)
	b.add("acid", 2)
	entries := b.keep.Look(30).Entries

	c, err := b.keep.State.Correction(entries[0].Seq, "", 7, 0, "miscounted")
	require.NoError(t, err)
	assert.Equal(t, journal.Correction{Seq: entries[0].Seq, To: journal.Addition{Titrant: "acid", Drops: 7, ML: 0.35}, Reason: "miscounted"}, c, "7, not 6")
	c, err = b.keep.State.Correction(0, "base", 0, 0, "")
	require.NoError(t, err)
	assert.Equal(t, journal.Addition{Titrant: "base", Drops: 2, ML: 0.1}, c.To, "the other titrant, the same count")
	_, err = b.keep.State.Correction(0, "bleach", 0, 0, "")
	require.ErrorIs(t, err, run.ErrNoTitrant)
	_, err = b.keep.State.Correction(999, "", 1, 0, "")
	require.ErrorIs(t, err, run.ErrNothing)
}

// A run whose latest addition was keyed as 6 and corrected to 7 believes what
// one believes in which 7 were keyed.
func TestCorrectedIsAsIfKeyedRight(t *testing.T) {
	right, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 7)
	wrong, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 7)
	for _, b := range []*bench{right, wrong} {
		b.seconds(60)
	}
	right.add("acid", 7)
	a, err := wrong.keep.State.Addition("acid", 6, 0)
	require.NoError(t, err)
	require.NoError(t, wrong.keep.Take(journal.Event{T: 60, Kind: journal.Added, Added: &a}))
	require.NoError(t, wrong.sim.Dispense("acid", 7, 0)) // what really fell
	c, err := wrong.keep.State.Correction(0, "", 7, 0, "that was 7, not 6")
	require.NoError(t, err)
	require.NoError(t, wrong.keep.Take(journal.Event{T: 60, Kind: journal.Corrected, Correct: &c}))
	x, y := right.seconds(80), wrong.seconds(80)
	assert.Equal(t, x.Charge, y.Charge)
	assert.InDelta(t, x.Advice.Aim, y.Advice.Aim, 1e-6)
	assert.InDelta(t, x.Settling.End, y.Settling.End, x.Settling.SD/2, "what was expected at first still shows a little")
	assert.True(t, y.Entries[0].Changed)
}

func TestSessionCorrectsTheSimulatedBeaker(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := tris()
		setup, err := recipe.Compile(p)
		require.NoError(t, err)
		b, err := sim.New(setup, sim.DefaultTruth(setup, 8))
		require.NoError(t, err)
		clock := sim.NewClock(1)
		k, err := run.NewKeeper(first(t, p), &run.Discard{}, wall)
		require.NoError(t, err)
		s := session.NewSession(k, b.Source(clock, time.Second), clock.Seconds, b)
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- s.Run(ctx) }()
		s.Post(intent.Intent{Kind: intent.Add, Titrant: "acid", Drops: 6})
		s.Post(intent.Intent{Kind: intent.Correct, Drops: 60, Text: "a slip of the finger"})
		s.Post(intent.Intent{Kind: intent.Correct, Drops: -1})
		time.Sleep(2 * time.Minute)
		v := <-s.Views()
		require.Len(t, v.Entries, 1)
		assert.Equal(t, 60.0, v.Entries[0].Drops)
		require.Len(t, v.Answers, 3, "nobody took a view before: none is lost")
		assert.Equal(t, "recorded: 6 drops of acid", v.Answers[0].Text)
		assert.False(t, v.Answers[1].Failed, v.Answers[1].Text)
		assert.True(t, v.Answers[2].Failed, "an amount below zero is refused")
		assert.InDelta(t, b.True(), v.Settling.End, 0.03)
		assert.Less(t, v.PH, 9.0, "60 drops are in the beaker, not 6")
		cancel()
		assert.ErrorIs(t, <-ended, context.Canceled)
	})
}

// leaky is a log whose disk fills up.
type leaky struct {
	run.Discard
	full   atomic.Bool
	synced atomic.Int64
}

var errFull = errors.New("no space left on the device")

func (l *leaky) Append(e *journal.Event) error {
	if l.full.Load() {
		return errFull
	}
	return l.Discard.Append(e)
}

func (l *leaky) Sync() error {
	l.synced.Add(1)
	if l.full.Load() {
		return errFull
	}
	return nil
}

// A disk that fills while no signal from the meter shows within a second, and while
// it is full readings go on and nothing else is acknowledged.
func TestAlarmWithinASecond(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := tris()
		setup, err := recipe.Compile(p)
		require.NoError(t, err)
		b, err := sim.New(setup, sim.DefaultTruth(setup, 9))
		require.NoError(t, err)
		clock, log := sim.NewClock(1), &leaky{}
		k, err := run.NewKeeper(first(t, p), log, wall)
		require.NoError(t, err)
		s := session.NewSession(k, b.Source(clock, 500*time.Millisecond), clock.Seconds, b)
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		go s.Run(ctx)
		time.Sleep(30 * time.Second)
		assert.Empty(t, (<-s.Views()).Alarm)
		clock.Pause() // the meter falls silent
		time.Sleep(5 * time.Second)
		assert.Positive(t, log.synced.Load(), "what waits is synced in the pause")
		log.full.Store(true)
		time.Sleep(time.Second + 10*time.Millisecond)
		assert.Contains(t, (<-s.Views()).Alarm, "no space left")
		clock.Resume()
		s.Post(intent.Intent{Kind: intent.Add, Titrant: "acid", Drops: 3})
		time.Sleep(10 * time.Second)
		v := <-s.Views()
		assert.Less(t, v.Age, 1.0, "readings go on")
		assert.Empty(t, v.Entries, "what was not written did not happen")
		require.NotEmpty(t, v.Answers)
		assert.True(t, v.Answers[0].Failed)
		log.full.Store(false)
		time.Sleep(time.Second)
		assert.Empty(t, (<-s.Views()).Alarm, "room was made")
		cancel()
		synctest.Wait()
	})
}
