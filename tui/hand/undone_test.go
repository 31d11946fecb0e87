package hand_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
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

// With no order on the screen t said "what was added is recorded as NaOH", and nothing had been;
// e then took a correction to what stood there already: "1.85 mL of HCl, not 1.85 mL of HCl".
func TestABottleThatIsChosenCorrectsNothingYet(t *testing.T) {
	v := view.View{Titrants: []string{"base", "acid"}, InML: []bool{false, false}, Entries: []view.Entry{{Stock: 1, Volume: 1.85 * chem.Millilitre}}}
	var h hand.Hand
	h.See(v)
	assert.Equal(t, "the next addition is recorded as base; e: the last one was that, too", h.Cycle().Say)
	assert.Equal(t, "the next addition is recorded as acid", h.Cycle().Say)
	a := h.Correct()
	assert.True(t, a.Wrong)
	assert.Equal(t, "nothing to correct: that is what is on record", a.Say)
	for typed, same := range map[string]bool{"1.85m": true, "1.9m": false, "37": false} {
		h.Typed, h.Question = typed, nil
		assert.Equal(t, same, h.Correct().Wrong, typed)
		assert.Equal(t, same, h.Question == nil, typed)
	}
	h.Question = nil
	h.Cycle()
	assert.False(t, h.Correct().Wrong)
	assert.NotNil(t, h.Question, "it asks why")
}

// An addition that a CHECK had put right was withdrawn by people who meant to take their answer
// back: u asks by amount and bottle what it withdraws, the latest that is in force.
func TestWithdrawingSaysWhat(t *testing.T) {
	v := view.View{Titrants: []string{"base", "acid"}, InML: []bool{false, true}, Advice: coach.Advice{Do: coach.Add, Drops: 3}, Titrant: "base", Entries: []view.Entry{
		{Stock: 0, Drops: 31, Volume: 1.55 * chem.Millilitre}, {Stock: 1, Volume: 5.8 * chem.Millilitre}, {Stock: 0, Drops: 2, Volume: 0.1 * chem.Millilitre, Undone: true}}}
	var h hand.Hand
	h.See(v)
	h.Withdraw()
	require.NotNil(t, h.Question)
	assert.Equal(t, "why withdraw 5.80 mL of acid?", h.Question.Words)
	h.Question, h.View.Entries[1].Undone = nil, true
	h.Withdraw()
	assert.Equal(t, "why withdraw 31 drops of base?", h.Question.Words)

	h.Question = nil
	sent := h.Enter()
	require.NotNil(t, sent.Want)
	h.Withdraw()
	assert.Equal(t, "why withdraw the latest addition?", h.Question.Words, "what was sent is not on record yet, and u withdraws that")
}
