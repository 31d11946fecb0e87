package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run"
)

// Done is said of a reading at rest; of one on its way, that it is to be left alone.
func TestDoneIsRead(t *testing.T) {
	v := run.View{HasReading: true, PH: 7.27, Advice: coach.Advice{Do: coach.Wait, Reason: coach.HandsOff, Aim: 7.31, Tolerance: 0.02}}
	v.Settling = probe.Estimate{State: probe.Settling, End: 7.30, SD: 0.01, Now: 7.27}
	assert.Equal(t, "HANDS OFF, it will end at 7.30", v.Sentence())
	assert.NotContains(t, v.Why(), "make up to the mark")
	v.Advice.Do, v.Advice.Reason, v.Settling.State, v.PH = coach.Stop, coach.InTolerance, probe.Settled, 7.30
	v.AtRest, v.Read = true, run.Value{PH: 7.304, SD: 0.004}
	assert.Equal(t, "DONE, read 7.30", v.Sentence())
	assert.Contains(t, v.Why(), "read at rest, within ±0.02 of the aim")
}
