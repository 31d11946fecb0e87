package replay_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/replay"
)

// From an hour on the clock is wider, and its column with it: what was added stands in one
// column all the same.
func TestTheTableOfALongRunStandsInColumns(t *testing.T) {
	v := replay.Review{Steps: []replay.Step{{T: 84, Titrant: "NaOH 1 M", Drops: 38}, {T: 3945, Titrant: "NaOH 1 M", Drops: 28}}}
	var out strings.Builder
	require.NoError(t, v.WriteText(&out))
	var at []int
	for _, line := range strings.Split(out.String(), "\n") {
		for _, word := range []string{"added", "38 drops", "28 drops"} {
			if i := strings.Index(line, word); i >= 0 && strings.Contains(line, "  "+word) {
				at = append(at, i)
			}
		}
	}
	require.Len(t, at, 3, out.String())
	assert.Equal(t, []int{at[0], at[0], at[0]}, at, out.String())
}

// A run that was left is continued by the command that began it.
func TestALeftRunIsContinuedByItsCommand(t *testing.T) {
	for practised, by := range map[bool]string{true: "halfdrop practice --resume", false: "halfdrop titrate --resume"} {
		var out strings.Builder
		require.NoError(t, (&replay.Review{Practised: practised}).WriteText(&out))
		assert.Contains(t, out.String(), by)
	}
}
