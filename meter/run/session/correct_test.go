package session_test

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/sim"
)

func TestSessionCorrectsTheSimulatedBeaker(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := tris()
		setup, err := recipe.Compile(p)
		require.NoError(t, err)
		b, err := sim.New(setup, sim.DefaultTruth(setup, 8))
		require.NoError(t, err)
		clock := sim.NewClock(1)
		k, err := keep.NewKeeper(first(p), &keep.Discard{}, wall)
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
		assert.InDelta(t, b.True(), v.Settling.End, 3*v.Settling.SD)
		assert.Less(t, v.Settling.SD, 0.04)
		assert.Less(t, v.PH, 9.0, "60 drops are in the beaker, not 6")
		cancel()
		assert.ErrorIs(t, <-ended, context.Canceled)
	})
}

// leaky is a log whose disk fills up.
type leaky struct {
	keep.Discard
	full   atomic.Bool
	synced atomic.Int64
}

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

var errFull = errors.New("no space left on the device")

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
		k, err := keep.NewKeeper(first(p), log, wall)
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

// named is a leaky log with a file.
type named struct{ leaky }

func (n *named) Append(e *journal.Event) error {
	if n.full.Load() {
		return fmt.Errorf("journal: %s: write: no space left on device (free some space on the disk, then try again)", n.Path())
	}
	return n.Discard.Append(e)
}

func (*named) Path() string { return "/home/somebody/.local/share/halfdrop/runs/20261127-run.jsonl" }

// The reason stands where a row of 60 columns still has it, before any path.
func TestAlarmSaysWhyFirst(t *testing.T) {
	log := &named{}
	k, err := keep.NewKeeper(first(tris()), log, wall)
	require.NoError(t, err)
	log.full.Store(true)
	require.Error(t, k.Take(journal.Event{T: 1, Kind: journal.Remarked, Remark: &journal.Remark{Text: "x"}}))
	assert.Equal(t, "not being recorded: the disk is full: free some space on it", k.Alarm)
}
