package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// Everything refused from the start is said as the thing to do, with the first
// line and why, and never as a meter that is silent.
func TestEverythingRefusedIsSaid(t *testing.T) {
	s := opened(t)
	note := "no reading: “5.24,70.7”, nothing says which number is the pH; run `halfdrop ports --learn NAME`, then use --meter NAME"
	for _, e := range []journal.Event{
		{T: 1, Kind: journal.LinkChange, Link: &journal.Link{State: "opening"}},
		{T: 1, Kind: journal.BadLine, Raw: "5.24,70.7", Why: "nothing says which number is the pH"},
		{T: 4, Kind: journal.LinkChange, Link: &journal.Link{State: "quiet", Note: note, Poor: true}},
	} {
		var err error
		s, err = run.Step(s, e)
		require.NoError(t, err)
	}
	v := s.Look(5)
	assert.Equal(t, "WAIT the meter's lines cannot be read", v.Sentence())
	assert.Contains(t, v.Why(), "“5.24,70.7”")
	assert.Contains(t, v.Why(), "ports --learn")
	assert.Empty(t, v.Poor, "it is said once")
}

// A line that was held back is no reason for long: where nothing has come since, it is that
// which is said.
func TestAfterARefusedLineNothingComes(t *testing.T) {
	b := planned(t, tris())
	b.seconds(30)
	s := b.keep.State
	s, err := run.Step(s, journal.Event{T: 31, Kind: journal.Read, Raw: "pH 4.52", Reading: &journal.Reading{Refused: "a jump, not confirmed yet"}})
	require.NoError(t, err)
	for after, reason := range map[float64]coach.Reason{1: coach.Faulty, 2.8: coach.Faulty, 3.5: coach.Stale, 20: coach.Stale} {
		assert.Equal(t, reason, s.Look(31+after).Advice.Reason, "%g s", after)
	}
}
