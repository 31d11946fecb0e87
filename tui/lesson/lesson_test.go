package lesson

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/tui"
)

// In a run with a fault to be found, naming it rightly puts it right.
func TestNamingPutsRight(t *testing.T) {
	e, err := practice.Find("mussel-tank")
	require.NoError(t, err)
	s, err := (&Lesson{}).sitting(e).stand()
	require.NoError(t, err)
	p := s.practice()
	require.NotEmpty(t, p.Faults)
	for row, want := range map[int]string{0: "right", 1: "no"} { // unstirred, zones
		s, err = (&Lesson{}).sitting(e).stand()
		require.NoError(t, err)
		in, over := s.practice().Name(row, tui.Evidence{At: 12, Way: 1})
		assert.False(t, over)
		assert.True(t, strings.HasPrefix(in.Text, want), in.Text)
		assert.Equal(t, row != 0, s.bench.Ails("unstirred"))
	}
	assert.True(t, p.Pause())
	assert.False(t, p.Pause())
}
