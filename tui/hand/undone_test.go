package hand_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/hand"
)

// After the only addition was withdrawn, u and e asked why, and then there was nothing to
// withdraw. What was sent and is not on record yet can be withdrawn.
func TestNoReasonIsAskedWhereNothingIsOnRecord(t *testing.T) {
	v := view.View{Titrant: "acid", Titrants: []string{"acid"}, InML: []bool{false}, Advice: coach.Advice{Do: coach.Add, Drops: 3}}
	var h hand.Hand
	h.See(v)
	sent := h.Enter()
	require.NotNil(t, sent.Want)
	assert.False(t, h.NothingGiven(), "it is on its way")

	v.Heard, v.Entries = sent.Want.ID, []view.Entry{{Drops: 3, Undone: true}}
	h.See(v)
	assert.True(t, h.NothingGiven())
	h.Typed = "7"
	a := h.Correct()
	assert.True(t, a.Wrong)
	assert.Nil(t, h.Question)
	assert.Equal(t, "there is no addition to correct", a.Say)
}
