package sober_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/sober"
)

// The late part of a glass electrode carries a reading by up to 5 % of its last step
// (recordings in testdata/recordings): after 2 pH that is 0.1, and an end 0.14 away is
// believed, one 0.16 away is not. It is waited for while the reading moves, with a spread of a
// quarter of that way, and taken as it is once the reading is flat, known to 0.03.
func TestAnEndIsBelievedAsFarAsALatePartGoes(t *testing.T) {
	at := func(way float64) probe.Estimate {
		return probe.Estimate{State: probe.Settled, Now: 7, End: 7 + way, SD: 0.01, FinalSD: 0.04}
	}
	assert.Equal(t, at(0.14), sober.Of(at(0.14), 2, false))
	waits := sober.Of(at(0.4), 2, false)
	assert.Equal(t, probe.Settling, waits.State)
	assert.InDelta(t, 0.1005, waits.SD, 0.0001)
	assert.Equal(t, probe.Settling, sober.Of(at(-0.16), 2, false).State)
	flat := sober.Of(at(0.16), 2, true)
	assert.Equal(t, probe.Estimate{State: probe.Settled, Now: 7, End: 7, SD: 0.03, FinalSD: 0.03}, flat)
	assert.True(t, sober.Far(at(0.05), 0.2), "0.012 of the step and 0.03")
	assert.False(t, sober.Far(at(0.04), 0.2))

	// A composition that an addition has ended was at rest where its reading was within 0.06
	// of its end.
	slow := at(0.05)
	slow.State = probe.Settling
	ended, ok := sober.Ended(slow, 2)
	assert.True(t, ok)
	assert.Equal(t, probe.Settled, ended.State)
	_, ok = sober.Ended(at(-0.07), 2)
	assert.False(t, ok)
}
