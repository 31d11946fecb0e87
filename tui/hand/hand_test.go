package hand_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/hand"
)

// two is a plan with two bottles, and nothing ordered.
func two() view.View {
	return view.View{Titrants: []string{"NaOH 1 M", "HCl 1 M"}, InML: []bool{false, false}, Advice: coach.Advice{Do: coach.Wait}}
}

// With nothing ordered an amount is of the bottle that was used last and counts; before any
// was, of the first of the plan.
func TestBottleInHand(t *testing.T) {
	var h hand.Hand
	v := two()
	h.See(v)
	assert.Equal(t, "NaOH 1 M", h.Titrant())
	v.Entries = []view.Entry{{Stock: 0}, {Stock: 1}}
	h.See(v)
	assert.Equal(t, "HCl 1 M", h.Titrant())
	v.Entries[1].Undone = true
	h.See(v)
	assert.Equal(t, "NaOH 1 M", h.Titrant(), "what was withdrawn says nothing")
	h.See(view.View{})
	assert.Empty(t, h.Titrant(), "a plan without bottles")
	assert.True(t, h.Enter().Wrong)
}

// What was counted corrects the latest addition, like what was typed; the reason is asked.
func TestCountCorrects(t *testing.T) {
	v := two()
	v.Entries = []view.Entry{{Stock: 0, Drops: 5}}
	var h hand.Hand
	h.See(v)
	for range 3 {
		h.Drop()
	}
	require.Nil(t, h.Correct().Want)
	require.NotNil(t, h.Question)
	in := h.Reply("enter").Want
	require.NotNil(t, in)
	assert.Equal(t, intent.Correct, in.Kind)
	assert.InDelta(t, 3, in.Drops, 1e-9)
	assert.Equal(t, "not said", in.Text)
	assert.False(t, h.Counting)
}

// A temperature is typed in a run by hand only, and with its number.
func TestDegrees(t *testing.T) {
	var h hand.Hand
	v := two()
	h.See(v)
	h.Typed = "21.5"
	assert.Contains(t, h.Degrees().Say, "C is for a run by hand")
	v.ByHand = true
	h.See(v)
	a := h.Degrees()
	require.NotNil(t, a.Want)
	assert.Equal(t, intent.Intent{Kind: intent.Warm, TempC: 21.5}, *a.Want)
	assert.Empty(t, h.Typed)
	assert.Contains(t, h.Degrees().Say, "C goes after a number")
}

// The first key of the row is what is to be done now, at each stage of a check in standards,
// for a meter that is connected and for one that is read off.
func TestFirstKeyOfACheck(t *testing.T) {
	for _, c := range []struct {
		stage  walk.Stage
		byHand bool
		first  string
	}{
		{walk.Immerse, false, "Enter it is in"}, {walk.Immerse, true, "0-9 what it shows"},
		{walk.Settle, false, "c take the value now"}, {walk.Settle, true, "c take the value now"},
		{walk.Ask, false, "Enter it is in again"}, {walk.Ask, true, "0-9 what it shows"},
		{walk.Done, false, "Enter it is back in the beaker"}, {walk.Done, true, "Enter it is back in the beaker"},
	} {
		v := two()
		v.Away, v.ByHand = &view.Away{Stage: c.stage}, c.byHand
		keys := hand.AwayHints(v)
		assert.Equal(t, c.first, keys[0].Name+" "+keys[0].Short, "%v by hand %v", c.stage, c.byHand)
		assert.Equal(t, "?", keys[len(keys)-1].Name)
	}
	v := two()
	v.Away, v.ByHand = &view.Away{Stage: walk.Ask}, true
	assert.Equal(t, "c", hand.AwayHints(v)[1].Name, "the value can be taken where it is asked about")
}
