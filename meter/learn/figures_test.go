package learn

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/frame"
)

// The figures of judgement of this room, each held by the step at which the answer changes.

func of(decimals int, v ...float64) *numbers {
	n := &numbers{v: v, decimals: decimals}
	n.measure()
	return n
}

// What only rises is a time or a volume: by three quarters of its steps and three of them, or
// by 0.75 in all.
func TestWhatClimbs(t *testing.T) {
	assert.True(t, of(1, 0, 0.1, 0.2, 0.3, 0.3).climbs(), "three steps of four")
	assert.False(t, of(1, 0, 0.1, 0.2, 0.3, 0.3, 0.3).climbs(), "three of five")
	assert.False(t, of(1, 0, 0.1, 0.2).climbs(), "two of two")
	assert.True(t, of(1, 0, 0, 0, 0, 0.8).climbs())
	assert.False(t, of(1, 0, 0, 0, 0, 0.7).climbs())
	assert.False(t, of(1, 0, 0.1, 0.2, 0.3, 0.2).climbs())
}

// The numbers of channels are whole, go to 16, and go back and forth.
func TestNumbersOfChannels(t *testing.T) {
	assert.True(t, of(0, 1, 16, 1, 16, 1).fro())
	assert.False(t, of(0, 1, 17, 1, 17, 1).fro())
	assert.False(t, of(0, 1, 16, 1, 1, 1).fro())
	channel := func(n *numbers) bool {
		can, _ := n.guesses()
		return slices.ContainsFunc(can, func(g Guess) bool { return g.Role == frame.RoleChannel })
	}
	assert.True(t, channel(of(0, 16, 16)))
	assert.False(t, channel(of(0, 17, 17)))
}

// A temperature keeps within 5 °C, a potential to 1,000 mV and two decimals.
func TestWhatNumbersCanBe(t *testing.T) {
	for _, c := range []struct {
		role frame.Role
		dec  int
		v    []float64
		can  bool
	}{
		{frame.RoleC, 1, []float64{24.9, 20}, true}, {frame.RoleC, 1, []float64{25.1, 20}, false},
		{frame.RoleF, 1, []float64{41, 33}, true}, {frame.RoleF, 1, []float64{39, 31}, false},
		{frame.RoleF, 1, []float64{139, 131}, true}, {frame.RoleF, 1, []float64{141, 133}, false},
		{frame.RoleF, 1, []float64{80, 71.1}, true}, {frame.RoleF, 1, []float64{80, 70.9}, false},
		{frame.RoleK, 1, []float64{275, 274}, true}, {frame.RoleK, 1, []float64{274, 272}, false},
		{frame.RoleK, 1, []float64{333, 332}, true}, {frame.RoleK, 1, []float64{335, 333}, false},
		{frame.RoleK, 1, []float64{300, 295.1}, true}, {frame.RoleK, 1, []float64{300, 294.9}, false},
		{frame.RoleMV, 1, []float64{990, 20}, true}, {frame.RoleMV, 1, []float64{1010, 20}, false},
		{frame.RoleMV, 1, []float64{20, -990}, true}, {frame.RoleMV, 1, []float64{20, -1010}, false},
		{frame.RoleMV, 2, []float64{20, -20}, true}, {frame.RoleMV, 3, []float64{20, -20}, false},
	} {
		can, _ := of(c.dec, c.v...).guesses()
		got := slices.ContainsFunc(can, func(g Guess) bool { return g.Role == c.role })
		assert.Equal(t, c.can, got, "%s of %v", c.role, c.v)
	}
}

// Of the words of a meter three are said; a byte ends the lines of a stream when it parts it
// into five.
func TestWordsAndEnds(t *testing.T) {
	assert.Equal(t, "stable, drift, hold", statuses(strings.Fields("stable drift hold wait")))
	assert.Equal(t, ";", Terminator([]byte("7.03;7.02;7.04;7.02;7.0")))
	assert.Empty(t, Terminator([]byte("7.03;7.02;7.04;7.02")))
}
