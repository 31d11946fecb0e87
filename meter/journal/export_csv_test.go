package journal_test

import (
	"encoding/csv"
	"io"
	"iter"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

// A run with an undo and a correction that come after readings in between.
func changedRun(t *testing.T) []journal.Event {
	first, end := start(), event(journal.Ended, 60)
	end.End = &journal.End{Outcome: "in tolerance"}
	undo, correct := event(journal.Undone, 40), event(journal.Corrected, 50)
	undo.Undo = &journal.Undo{Seq: 3, Reason: "pressed twice, \"sorry\""}
	correct.Correct = &journal.Correction{Seq: 5, To: journal.Addition{Titrant: "NaOH 0.1 M", Drops: 7, ML: 0.35}, Reason: "7, not 6"}
	mv := event(journal.Read, 45)
	mv.Reading = &journal.Reading{MV: p(-12.5), Decimals: 1, Refused: "temperature missing"}
	seven := reading(15, 7)
	seven.Reading.Decimals = 3
	ml := added(55, 0)
	ml.Added.ML = 1.25
	last := reading(56, 7.6)
	last.Reading.Same = true
	events := []journal.Event{first, added(10, 6), added(11, 6), seven, added(20, 6), reading(30, 7.41), undo, mv, correct, ml, last, end}
	write(t, events) // numbers them
	return events
}

// What counts is what stands at the end: 0.3 mL kept, 0.3 withdrawn, 0.35 in
// place of 0.3, 1.25 given in mL.
func TestWriteAdditions(t *testing.T) {
	var b strings.Builder
	require.NoError(t, journal.WriteAdditions(&b, slices.Values(changedRun(t)), ""))
	assert.Equal(t, `seq,at,t_s,titrant,drops,volume_ml,total_ml,entered_ml,status,reason
2,2026-11-25T14:15:13+01:00,10,NaOH 1 M,6,0.3,0.3,0.3,kept,
3,2026-11-25T14:15:14+01:00,11,NaOH 1 M,,0,0.3,0.3,withdrawn,"pressed twice, ""sorry"""
5,2026-11-25T14:15:23+01:00,20,NaOH 0.1 M,7,0.35,0.65,0.3,corrected,"7, not 6"
10,2026-11-25T14:15:58+01:00,55,NaOH 1 M,,1.25,1.9,1.25,kept,
`, b.String())
}

func TestWriteReadings(t *testing.T) {
	var b strings.Builder
	require.NoError(t, journal.WriteReadings(&b, slices.Values(changedRun(t)), ""))
	assert.Equal(t, `at,t_s,ph,mv,temp_c,volume_ml,refused,not_sent
2026-11-25T14:15:18+01:00,15,7.000,,21.5,0.3,,
2026-11-25T14:15:33+01:00,30,7.41,,21.5,0.65,,
2026-11-25T14:15:48+01:00,45,,-12.5,,0.65,temperature missing,
2026-11-25T14:15:59+01:00,56,7.60,,21.5,1.9,,same
`, b.String())
}

func TestExportSaysThatItFailed(t *testing.T) {
	require.ErrorIs(t, journal.WriteReadings(&lazyOut{}, slices.Values(changedRun(t)), ""), errFull)
	require.ErrorIs(t, journal.WriteAdditions(&lazyOut{}, slices.Values(changedRun(t)), ""), errFull)
}

type lazyOut struct{}

func (lazyOut) Write([]byte) (int, error) { return 0, errFull }

func TestDosesOfOddRuns(t *testing.T) {
	undo, again := event(journal.Undone, 2), event(journal.Corrected, 3)
	undo.Undo = &journal.Undo{Seq: 2}
	again.Correct = &journal.Correction{Seq: 2, To: journal.Addition{Titrant: "x", ML: 9}}
	stray := event(journal.Undone, 4)
	stray.Undo = &journal.Undo{Seq: 1}
	events := []journal.Event{start(), added(1, 2), undo, again, stray}
	write(t, events)
	doses := journal.Doses(slices.Values(events))
	require.Len(t, doses, 1)
	assert.True(t, doses[0].Withdrawn, "an undo is final")
	assert.Zero(t, doses[0].Given.ML)
	assert.Equal(t, 0.1, doses[0].Entered.ML)
}

// A table of a journal that is not whole says so in its last row, with as many
// columns as the others; texts that a spreadsheet would take for formulas are none.
func TestTablesOfAJournalThatIsNotWhole(t *testing.T) {
	events := changedRun(t)
	for i := range events {
		if events[i].Added != nil {
			a := *events[i].Added
			a.Titrant = "=cmd(1)"
			events[i].Added = &a
			break
		}
	}
	for _, write := range []func(io.Writer, iter.Seq[journal.Event], string) error{additions, journal.WriteReadings} {
		var b strings.Builder
		require.NoError(t, write(&b, slices.Values(events), "damaged at line 7"))
		rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
		require.NoError(t, err, "all rows have as many columns")
		require.Contains(t, strings.Join(rows[len(rows)-1], " "), "incomplete")
		require.Contains(t, strings.Join(rows[len(rows)-1], " "), "damaged at line 7")
		for _, row := range rows {
			for _, cell := range row {
				require.NotRegexp(t, `^[=+@]`, cell)
			}
		}
	}
}

func additions(w io.Writer, events iter.Seq[journal.Event], flaw string) error {
	return journal.WriteAdditions(w, events, flaw)
}
