package intent_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/intent"
)

// A slip is asked about in the digits that were typed.
func TestASlipInWords(t *testing.T) {
	known := intent.Slip{Typed: "7.24", Meant: "7.42", Why: "is far from 7.40, where it should be"}
	assert.EqualError(t, &known, "7.24 is far from 7.40, where it should be: was it 7.42?")
	unknown := intent.Slip{Typed: "99", Why: "is not a pH: it must be 0 to 14", Never: true}
	assert.EqualError(t, &unknown, "99 is not a pH: it must be 0 to 14")
}

// The steps of a check are those of the journal, which other programs write; and what is
// wanted by a front end that says nothing is an addition of nothing, which is refused.
func TestStepsOfACheck(t *testing.T) {
	steps := []string{intent.CheckOut, intent.CheckIn, intent.CheckTake, intent.CheckStop}
	assert.Equal(t, []string{"out", "in", "take", "stop"}, steps)
	assert.Equal(t, journal.StepOut, intent.CheckOut)
	assert.Equal(t, intent.Add, intent.Intent{}.Kind)
}
