package run

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// TestLatePartOfSeveralAdditions: the electrode counts as one with a large late part by the
// mean of what the compositions have shown of it: more than glass of laboratories was
// measured with, 0.005 to 0.04. What was withdrawn shows nothing.
func TestLatePartOfSeveralAdditions(t *testing.T) {
	of := func(late ...float64) bool {
		var s State
		for _, l := range late {
			s.entries = append(s.entries, view.Entry{Before: probe.Estimate{Late: l}})
		}
		s.entries = append(s.entries, view.Entry{Before: probe.Estimate{Late: 0.5}, Undone: true})
		return s.history().Late
	}
	assert.False(t, of(), "nothing was seen")
	assert.False(t, of(0.033))
	assert.True(t, of(0.048))
	assert.False(t, of(0.060, 0.005), "one alone may err")
	assert.True(t, of(0.060, 0.035))
}
