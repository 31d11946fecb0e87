package view_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// What the sentence says of the reading, the record says too: done is read at rest, and
// a reading that still has half the tolerance to go is on its way.
func TestTheRecordSaysWhatTheSentenceSays(t *testing.T) {
	v := view.View{HasReading: true, PH: 4.774, AtRest: true, Read: view.Value{PH: 4.774, SD: 0.006}}
	v.Settling = probe.Estimate{State: probe.Settling, Now: 4.774, End: 4.779, SD: 0.006}
	v.Advice = coach.Advice{Do: coach.Stop, Reason: coach.InTolerance, Aim: 4.77, Tolerance: 0.02}
	assert.Contains(t, v.Why(), "read at rest")
	assert.True(t, v.Record().Settled, "read at rest")
	v.Advice.Do, v.Advice.Reason = coach.Wait, coach.Settling
	assert.False(t, v.Record().Settled, "on its way")
	v.Settling.State = probe.Settled
	for way, settled := range map[float64]bool{0: true, 0.006: true, -0.009: true, 0.011: false, -0.016: false} {
		v.Settling.End = v.Settling.Now + way
		assert.Equal(t, settled, v.Record().Settled, "%g to go", way)
		if settled {
			assert.Equal(t, "WAIT for a better reading", v.Sentence())
			assert.NotContains(t, v.Why(), "on its way")
		} else {
			assert.Equal(t, "WAIT for the reading to settle", v.Sentence())
			assert.Contains(t, v.Why(), "on its way to about")
		}
	}
}

// An amount that is looked for knows no tolerance: its reading stands when it stands.
func TestWhereAnAmountIsLookedFor(t *testing.T) {
	v := view.View{HasReading: true, PH: 6, Found: &view.Finding{}}
	v.Settling = probe.Estimate{State: probe.Settled, Now: 6, End: 6.1, SD: 0.01}
	assert.True(t, v.Settled())
}
