package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
)

// TestOrderPastTheMarkIsRecorded: who has agreed to a larger volume is ordered
// drops that do not fit under the mark, and their record asks nothing more.
// Found on another bench: the order of 83 drops was refused when it was recorded.
func TestOrderPastTheMarkIsRecorded(t *testing.T) {
	b, _ := record(t, t.TempDir()+"/run.jsonl", 5)
	b.seconds(60)
	for range 2 { // somebody fills the beaker to the mark
		b.add("weak acid", 393)
		b.seconds(60)
	}
	v := b.seconds(30)
	for n := 0; n < 20 && v.Advice.Reason != coach.NoRoom; n++ {
		switch v.Advice.Do {
		case coach.Add:
			b.add(v.Titrant, v.Advice.Drops)
		case coach.Check:
			require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Confirmed}))
		}
		v = b.seconds(90)
	}
	require.Equal(t, coach.NoRoom, v.Advice.Reason, "%+v", v.Advice)
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Confirmed}))
	v = b.seconds(20)
	require.Equal(t, coach.Add, v.Advice.Do, "%+v", v.Advice)
	require.Greater(t, v.Advice.Drops, 20.0, "more than is never asked about")
	a, err := b.keep.State.Addition(v.Titrant, v.Advice.Drops, 0)
	require.NoError(t, err)
	assert.Nil(t, b.keep.State.Doubt(a, nil))
	a, err = b.keep.State.Addition(v.Titrant, v.Advice.Drops*2, 0)
	require.NoError(t, err)
	assert.NotNil(t, b.keep.State.Doubt(a, nil), "twice the order does not fit")
}
