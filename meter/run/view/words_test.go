package view_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// Done is said of a reading at rest; of one on its way, that it is to be left alone.
func TestDoneIsRead(t *testing.T) {
	v := view.View{HasReading: true, PH: 7.27, Advice: coach.Advice{Do: coach.Wait, Reason: coach.HandsOff, Aim: 7.31, Tolerance: 0.02}}
	v.Settling = probe.Estimate{State: probe.Settling, End: 7.30, SD: 0.01, Now: 7.27}
	assert.Equal(t, "HANDS OFF, it will end at 7.30", v.Sentence())
	assert.NotContains(t, v.Why(), "make up to the mark")
	v.Advice.Do, v.Advice.Reason, v.Settling.State, v.PH = coach.Stop, coach.InTolerance, probe.Settled, 7.30
	v.AtRest, v.Read = true, view.Value{PH: 7.304, SD: 0.004}
	assert.Equal(t, "DONE, read 7.30", v.Sentence())
	assert.Contains(t, v.Why(), "read at rest, within ±0.02 of the aim")
}

// A landing has the digits that its width has, and says on which side of the aim it is.
func TestLandingWords(t *testing.T) {
	v := view.View{HasReading: true, PH: 4.38, Decimals: 3, Settling: probe.Estimate{State: probe.Settled, End: 4.38, SD: 0.002}}
	v.Advice = coach.Advice{Do: coach.Add, Reason: coach.Far, Aim: 7.376, Tolerance: 0.05, Low: 6.242, After: 6.41, High: 6.548}
	assert.Equal(t, "a safe step: expected to land at 6.41 (6.24 to 6.55), 0.97 short of the aim", v.Why())
	v.Settling.End = 4.956
	v.Advice.Aim, v.Advice.Low, v.Advice.After, v.Advice.High = 5.0, 4.99, 5.016, 5.046
	assert.Equal(t, "a safe step: expected to land at 5.02 (4.99 to 5.05), 0.02 past the aim", v.Why())
	v.Advice.Low, v.Advice.After, v.Advice.High = 4.981, 4.990, 4.999
	assert.Equal(t, "a safe step: expected to land at 4.990 (4.981 to 4.999), 0.010 short of the aim", v.Why())
	v.Advice.Reason, v.Advice.Do, v.Settling.SD = coach.HandsOff, coach.Wait, 0.0059
	assert.Contains(t, v.Why(), "4.956 ± 0.006 is within the tolerance")
}
