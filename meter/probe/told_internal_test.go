package probe

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A movement that seemed to go back is that of an addition from shortly before its first drop
// was told: a key is pressed a second or two after the drop, and not five.
func TestAMovementJustBeforeAFirstDropWasTold(t *testing.T) {
	for early, is := range map[float64]bool{-20: true, 0: true, 2: true, 5: false, 30: false} {
		m := Move{From: 100, Back: true}
		assert.Equal(t, is, m.of(&Addition{T: 200, From: 100 + early, Take: 8}), "%g s before", early)
	}
	assert.True(t, (&Move{From: 100}).of(&Addition{T: 200, From: 190}), "what nothing explains is it in any case")
	assert.False(t, (&Move{From: 199, Owner: 7}).of(&Addition{T: 200, From: 199}), "what is explained is not")
}
