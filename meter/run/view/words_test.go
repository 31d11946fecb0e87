package view_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// Done is said of a reading at rest; of one on its way, that it is to be left alone.
func TestDoneIsRead(t *testing.T) {
	v := view.View{HasReading: true, PH: 7.27, Decimals: 2, Tolerance: 0.02, Advice: coach.Advice{Do: coach.Wait, Reason: coach.HandsOff, Aim: 7.31, Tolerance: 0.02}}
	v.Settling = probe.Estimate{State: probe.Settling, End: 7.30, SD: 0.01, Now: 7.27}
	assert.Equal(t, "HANDS OFF, it will end at 7.30", v.Sentence())
	assert.NotContains(t, v.Why(), "make up to the mark")
	v.Advice.Do, v.Advice.Reason, v.Settling.State, v.PH = coach.Stop, coach.InTolerance, probe.Settled, 7.30
	v.AtRest, v.Read = true, view.Value{PH: 7.304, SD: 0.004}
	assert.Equal(t, "DONE, read 7.30", v.Sentence())
	assert.Contains(t, v.Why(), "make up to the mark, check and label: read at rest, within ±0.02 of the aim")
	v.Share = 0.0018 // a tenth of the whole from which on it is told
	assert.Contains(t, v.Why(), "make up to the mark, check and label: read at rest, within ±0.02 of the aim")
	v.Share = 0.003
	assert.Contains(t, v.Why(), "read at rest, within ±0.02 of the aim (the calibration takes the rest of ±0.023)")
	v.Waiting = []string{"0.05 g of sodium azide"}
	assert.Contains(t, v.Why(), "add 0.05 g of sodium azide, make up to the mark, check and label: read at rest", "before it is made up")
	v.Waiting = append(v.Waiting, "1 g of SDS")
	assert.Contains(t, v.Why(), "add 0.05 g of sodium azide and 1 g of SDS, make up to the mark")
}

// A landing has the digits that its width has, and says on which side of the aim it is.
func TestLandingWords(t *testing.T) {
	v := view.View{HasReading: true, PH: 4.38, Decimals: 3, Settling: probe.Estimate{State: probe.Settled, End: 4.38, SD: 0.002}}
	v.Advice = coach.Advice{Do: coach.Add, Reason: coach.Far, Aim: 7.376, Tolerance: 0.05, Low: 6.242, After: 6.41, High: 6.548}
	assert.Equal(t, "most of the way: expected to land at 6.41 (6.24 to 6.55), 0.97 short of the aim", v.Why())
	v.Settling.End = 4.956
	v.Advice.Aim, v.Advice.Low, v.Advice.After, v.Advice.High = 5.0, 4.99, 5.016, 5.046
	assert.Equal(t, "expected to land at 5.02 (4.99 to 5.05), 0.02 past the aim", v.Why())
	v.Advice.Low, v.Advice.After, v.Advice.High = 4.964, 4.973, 4.982
	assert.Equal(t, "a safe step: expected to land at 4.973 (4.964 to 4.982), 0.027 short of the aim", v.Why())
	v.Advice.Reason, v.Advice.Do, v.Settling.SD = coach.HandsOff, coach.Wait, 0.0059
	v.Settling.End = 4.988
	assert.Contains(t, v.Why(), "4.988 ± 0.006 is within the tolerance")
}

// A step is called small, or safe, where it leaves more of the way than it goes: the words
// had been the same for 93 % of it and for 78 mL, and for 4.74 past the aim.
func TestAStepIsWhatItsNumbersSay(t *testing.T) {
	for _, from := range []float64{4, 10} {
		for _, reason := range []coach.Reason{coach.Far, coach.Probe} {
			for share, mild := range map[float64]bool{0.1: true, 0.45: true, 0.55: false, 0.93: false, 1.1: false, 2.6: false} {
				v := view.View{HasReading: true, PH: from, Decimals: 2, Settling: probe.Estimate{State: probe.Settled, End: from, SD: 0.01}}
				after := from + share*(7-from)
				v.Advice = coach.Advice{Do: coach.Add, Reason: reason, Aim: 7, Tolerance: 0.02, Low: after - 0.2, After: after, High: after + 0.2}
				why := v.Why()
				assert.Equal(t, mild, strings.Contains(why, "safe") || strings.Contains(why, "small"), why)
				assert.Equal(t, !mild && share < 1, strings.Contains(why, "most of the way"), why)
				assert.Equal(t, share > 1, strings.Contains(why, " past the aim"), why)
			}
		}
	}
}

// Hands off is said within the tolerance where the reading ends within it, and nowhere else.
func TestHandsOffIsTrueForItsNumbers(t *testing.T) {
	v := view.View{HasReading: true, PH: 8.02, Decimals: 3}
	v.Advice = coach.Advice{Do: coach.Wait, Reason: coach.HandsOff, Aim: 8.038, Tolerance: 0.02}
	for end, within := range map[float64]bool{8.014: false, 8.0175: false, 8.018: true, 8.058: true, 8.0585: false} {
		v.Settling = probe.Estimate{State: probe.Settling, End: end, SD: 0.005, Now: 8.02}
		v.Next = nil
		assert.Equal(t, within, strings.Contains(v.Why(), "is within the tolerance of 8.038; it counts once read at rest"), "%g: %s", end, v.Why())
		assert.Equal(t, !within, strings.Contains(v.Why(), "± 0.005 is at the edge of 8.018 to 8.058; a better reading decides"), "%g: %s", end, v.Why())
		v.Next = &view.Next{Stands: true, In: 10}
		assert.Equal(t, within, strings.Contains(v.Why(), "is within the tolerance"), "typed, %g: %s", end, v.Why())
		assert.Equal(t, !within, strings.Contains(v.Why(), "is at the edge of 8.018 to 8.058; a steady value decides"), "typed, %g: %s", end, v.Why())
	}
	v.Next, v.Settling.End, v.Settling.SD = nil, 8.07, 0.03
	assert.NotContains(t, v.Why(), "should end within")
}
