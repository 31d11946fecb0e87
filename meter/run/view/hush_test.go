package view_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/spot"
)

// A hushed view gives nothing away that the coach has worked out.
func TestHushed(t *testing.T) {
	v := view.View{Titrant: "acid", PH: 6.1, HasReading: true, Curve: []coach.CurvePoint{{PH: 7}}}
	v.Advice = coach.Advice{Do: coach.Add, Reason: coach.Near, Aim: 7.2, Tolerance: 0.02, Drops: 6, After: 7.19}
	v.Settling = probe.Estimate{State: probe.Settling, End: 6.9, SD: 0.01}
	v.Ordered, v.Was, v.Offer, v.Falling = true, 3, &view.Offer{}, &view.Falling{Like: 2}
	h := v.Hushed("you are alone")
	assert.Equal(t, coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: 7.2, Tolerance: 0.02}, h.Advice)
	assert.Empty(t, h.Titrant)
	assert.Empty(t, h.Curve)
	assert.False(t, h.Ordered)
	assert.Zero(t, h.Was)
	assert.Nil(t, h.Offer, "what is held back")
	assert.Nil(t, h.Falling, "an order that nobody has seen is not being given")
	assert.True(t, math.IsInf(h.Settling.SD, 1))
	assert.Equal(t, 6.1, h.Settling.End)
	assert.Equal(t, "you are alone", h.Why())
	assert.Contains(t, h.Sentence(), "YOU")
	assert.Equal(t, coach.Add, v.Advice.Do, "the view itself is as it was")

	v.Settling.State = probe.Settled
	assert.Equal(t, 6.9, v.Hushed("x").Settling.End, "a settled reading is there for everybody to see")
	v.Advice.Reason = coach.Stale
	assert.Equal(t, coach.Stale, v.Hushed("x").Advice.Reason)
}

// The meter goes on when the coach has found a fault: neither the reading nor a
// note is taken away.
func TestHushedKeepsTheMeter(t *testing.T) {
	found := spot.Finding{Fault: spot.Cap, Bad: true, Evidence: "it answers to nothing", Try: "look"}
	v := view.View{PH: 7.07, HasReading: true, Spotted: []spot.Finding{found}, Note: found.Words()}
	v.Advice = coach.Advice{Do: coach.Check, Reason: coach.Faulty, Aim: 8.3}
	h := v.Hushed("you are alone")
	assert.Equal(t, coach.Settling, h.Advice.Reason)
	assert.Empty(t, h.Note)
	assert.Equal(t, 7.07, h.PH)

	v.Spotted, v.Note = nil, ""
	assert.Equal(t, coach.Faulty, v.Hushed("x").Advice.Reason, "a line that fails says so itself")
}
