package given_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/view"
)

// An electrode has a large late part where that is 0.04 of its answers on the average:
// laboratory glass was measured at 0.005 to 0.04 (testdata/recordings). Of the
// additions in force alone, and with as many as there are.
func TestALateElectrodeIsKnownByAllItsAnswers(t *testing.T) {
	of := func(shares ...float64) (l given.List) {
		for i, x := range shares {
			l = l.Add(view.Entry{Seq: int64(i + 1), Drops: 5, Before: probe.Estimate{Late: x, Noise: 0.002}})
		}
		return l
	}
	for _, tt := range []struct {
		shares []float64
		late   bool
	}{{nil, false}, {[]float64{0.035}, false}, {[]float64{0.045}, true}, {[]float64{0.06, 0.015}, false}, {[]float64{0.06, 0.03}, true}} {
		assert.Equal(t, tt.late, of(tt.shares...).History(false).Late, "%v", tt.shares)
	}
	withdrawn := of(0.03, 0.2).Withdrawn(1).History(false)
	assert.False(t, withdrawn.Late)
	assert.Len(t, withdrawn.Additions, 1)
	assert.Equal(t, coach.NoiseOf(0.002), of(0).History(false).Noise)
	assert.Equal(t, coach.Unheard, of(0).History(true).Noise, "what is typed says nothing of the meter")
}
