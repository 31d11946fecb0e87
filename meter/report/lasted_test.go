package report_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/report"
)

// The reading of the finished solution, put on record a quarter of an hour after the run was
// closed, made the run a quarter of an hour longer, and its end one without readings.
func TestALabelMakesNoRunLonger(t *testing.T) {
	events := eventfulRun(t, limpet)
	whole := func(events []journal.Event) *report.Record {
		r, err := replay.Of(events)
		require.NoError(t, err)
		return report.New(r)
	}
	before := whole(events)
	last := events[len(events)-1]
	require.Equal(t, journal.Ended, last.Kind)
	made := journal.Event{Seq: last.Seq + 1, T: last.T + 900, Kind: journal.MadeUp, MadeUp: &journal.Making{PH: 7.21, Outcome: "in tolerance"}}
	after := whole(append(events, made))
	assert.Equal(t, before.Seconds, after.Seconds)
	assert.Equal(t, last.T, after.Seconds)
	assert.Equal(t, before.EndedAt, after.EndedAt)
	assert.Equal(t, before.Read, after.Read)
	require.NotNil(t, after.Finished)
}
