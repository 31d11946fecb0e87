package run_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/propose"
)

// finished is a bench at which done was said, and for some seconds.
func finished(t *testing.T) *bench {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	for range 900 {
		v := b.second()
		if v.Advice.Do == coach.Stop {
			b.seconds(5)
			return b
		}
		if v.Advice.Do == coach.Add {
			b.add(v.Titrant, v.Advice.Drops)
		}
	}
	t.Fatal("never done")
	return nil
}

// Done, and the electrode is taken out to be rinsed, as everybody does: the run had "ended
// before it was read at rest", and the value was lost.
func TestTheElectrodeIsTakenOutAtDone(t *testing.T) {
	b := finished(t)
	was := b.keep.State.AtLast()
	require.True(t, was.Inside())
	away := b.shown(6.2, 0.003, 4)
	assert.True(t, away[3].Inside(), away[3].Sentence())
	away = b.shown(6.2, 0.003, 40)
	v := away[39]
	assert.Equal(t, coach.Moved, v.Advice.Reason)
	assert.True(t, v.Inside())
	end := propose.Ending(b.keep.State, b.sec, "in tolerance").End
	require.NotNil(t, end.Read)
	assert.InDelta(t, was.Read.PH, end.Read.PH, 0.01)
	assert.LessOrEqual(t, end.Read.T, b.sec-40, "read then, not now")
}

// The meter is switched off at done; the value stays. After a further addition nothing of
// the kind does.
func TestTheMeterIsSwitchedOffAtDone(t *testing.T) {
	b := finished(t)
	v := b.keep.State.Look(b.sec + 60)
	require.Equal(t, coach.Stale, v.Advice.Reason)
	assert.True(t, v.Inside())
	b.add("acid", 3)
	assert.False(t, b.keep.State.Look(b.sec+60).Inside())
	b.shown(6.2, 0.02, 10)
	assert.False(t, b.keep.State.AtLast().Inside())
	assert.Nil(t, propose.Ending(b.keep.State, b.sec, "left").End.Read)
}
