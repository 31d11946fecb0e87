package coach_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
)

// Far from the aim a vague value that was typed is waited on for longer than one
// of a line, and one that stands never is.
func TestPatienceWithValuesThatAreTyped(t *testing.T) {
	for _, tt := range []struct {
		age           float64
		typed, stands bool
		waits         bool
	}{
		{40, false, false, true},
		{50, false, false, false},
		{140, true, false, true},
		{160, true, false, false},
		{10, true, true, false},
	} {
		p := coach.Present{PH: 7, SD: 0.05, FinalSD: 0.01, Age: tt.age, Typed: tt.typed, Stands: tt.stands}
		require.Equal(t, tt.waits, p.Unripe(coach.Advice{Aim: 8, Tolerance: 0.02}), "%+v", tt)
	}
	near := coach.Present{PH: 7.9, SD: 0.02, FinalSD: 0.004, Age: 10}
	require.True(t, near.Unripe(coach.Advice{Aim: 8, Tolerance: 0.02}))
	near.Typed = true
	require.False(t, near.Unripe(coach.Advice{Aim: 8, Tolerance: 0.02}), "near the aim it is asked what another value would change")
}
