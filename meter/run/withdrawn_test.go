package run_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
)

// What was withdrawn after the reading had moved is what whoever withdrew it has in mind: the
// reading did not go "by itself", nor is it told twice that nothing is logged.
func TestWithdrawnAfterTheReadingMoved(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	was := b.order()
	b.add(was.Titrant, was.Advice.Drops)
	b.seconds(40)
	en, ok := b.keep.State.Latest()
	require.True(t, ok)
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Undone, Undo: &journal.Undo{Seq: en.Seq}}))
	v := b.seconds(1)
	for n := 0; v.Advice.Reason != coach.Moved && n < 30; n++ {
		v = b.second()
	}
	require.Equal(t, coach.Moved, v.Advice.Reason, v.Sentence())
	assert.Regexp(t, `^CHECK the reading went from \d+\.\d+ to \d+\.\d+, with \d+ drops.* of acid withdrawn$`, v.Sentence())
	assert.Equal(t, "enter what fell, if anything did, or put the electrode back and press i, or c: carry on from here", v.Why())

	b.add(was.Titrant, was.Advice.Drops)
	b.seconds(30)
	b.shown(v.PH+1.1, 0.002, 30) // by itself
	v = b.second()
	require.Equal(t, coach.Moved, v.Advice.Reason, v.Sentence())
	assert.Contains(t, v.Sentence(), "by itself")
	assert.NotContains(t, v.Why(), "log what fell")
}
