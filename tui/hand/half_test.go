package hand_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/hand"
)

// Half a drop is touched off, and Space pressed once: it counted one, and the screen said
// STOP, half a drop too many.
func TestSpaceCountsTheHalfThatIsOrdered(t *testing.T) {
	for order, counts := range map[float64][]float64{0.5: {0.5, 1.5}, 1: {1, 2}, 3: {1, 2, 3, 4}} {
		var h hand.Hand
		h.See(view.View{Titrant: "acid", Titrants: []string{"acid"}, InML: []bool{false}, Advice: coach.Advice{Do: coach.Add, Drops: order}})
		for i, want := range counts {
			a := h.Drop()
			require.NotNil(t, a.Want, "%g ordered, %d pressed: %s", order, i+1, a.Say)
			assert.InDelta(t, want, a.Want.Drops, 1e-9, "%g ordered, %d pressed", order, i+1)
			assert.Equal(t, want >= order, h.AllCounted(), "%g of %g", want, order)
		}
		h.Back()
		assert.InDelta(t, counts[len(counts)-1], h.Drop().Want.Drops, 1e-9, "one taken back, and counted again")
	}
}
