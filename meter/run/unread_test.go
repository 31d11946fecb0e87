package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
