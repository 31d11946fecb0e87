package view

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/spot"
)

// Drops that were counted across a pause were on record, and a fifth of a second later the
// screen said that nothing was: who had obeyed it would have recorded them twice.
func TestWhatIsOnRecordIsSaid(t *testing.T) {
	v := View{T: 100, Level: 7.1, PH: 7.4, Decimals: 2, Titrants: []string{"NaOH 1 M"}, Leaving: true}
	v.Advice = coach.Advice{Do: coach.Wait, Reason: coach.Settling}
	says := func(e ...Entry) string {
		v.Entries = e
		return v.settlingWords()
	}
	const nothing = "nothing is on record since"
	assert.Contains(t, says(), nothing)
	assert.Contains(t, says(Entry{T: 30, Drops: 80, Volume: 4e-3}), nothing, "long ago")
	for _, at := range []float64{99.8, 41} {
		assert.Equal(t, "it is leaving 7.10; on record just now: 80 drops (4.00 mL) of NaOH 1 M; enter what was added beside that, or leave the electrode where it is", says(Entry{T: at, Drops: 80, Volume: 4e-3}))
	}
	assert.Contains(t, says(Entry{T: 95, Drops: 29, Volume: 1.45e-3, Undone: true}), "withdrawn: 29 drops of NaOH 1 M; "+nothing)

	v.Advice.Do, v.Advice.Reason, v.Leaving = coach.Check, coach.Moved, false
	v.Note, v.Spotted = "the reading stepped from 7.10 to 7.40 with nothing logged: log what fell", []spot.Finding{{Fault: spot.Unlogged}}
	assert.Equal(t, "CHECK the reading went from 7.10 to 7.40, with 29 drops of NaOH 1 M withdrawn", v.Sentence())
	assert.Equal(t, "enter what fell, if anything did, or put the electrode back and press i, or c: carry on from here", v.Why(),
		"and the note does not say the CHECK once more")
	v.Advice.Reason = coach.Stuck
	assert.Contains(t, v.Why(), "note: the reading stepped", "under another CHECK it does")
	early := spot.Finding{Fault: spot.Early, Evidence: "2 of 3 additions fell on a reading that was still on its way"}
	v.Note, v.Spotted = early.Words(), []spot.Finding{early}
	assert.NotContains(t, v.Why(), "additions fell", "who is asked something is not told how to do better next time")
	v.Advice.Do, v.Advice.Reason = coach.Add, coach.Far
	assert.Contains(t, v.Why(), "additions fell")
}
