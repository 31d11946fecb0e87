package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run"
)

// A reading that is still on its way is not said to be at the aim.
func TestStopWhileSettling(t *testing.T) {
	v := run.View{HasReading: true, PH: 7.27, Advice: coach.Advice{Do: coach.Stop, Reason: coach.InTolerance, Aim: 7.31, Tolerance: 0.02}}
	v.Settling = probe.Estimate{State: probe.Settling, End: 7.30, SD: 0.01, Now: 7.27}
	assert.Contains(t, v.Why(), "the reading will end within ±0.02 of the aim")
	v.Settling.State = probe.Settled
	assert.Contains(t, v.Why(), "the reading is within ±0.02 of the aim")
}
