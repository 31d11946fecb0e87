package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
)

// What was ordered falls from a bottle that leads the other way: the order stands, and it is
// asked whether it was given; on record, it is what names the bottle. It was "by itself", and
// the bottle was ordered again.
func TestTheOrderLeadsTheOtherWay(t *testing.T) {
	p, was := ordered(t, nil)
	require.Equal(t, "base", was.Titrant)
	for range 20 { // from the acid, and nobody says so
		require.NoError(t, p.sim.Dispense("acid", was.Advice.Drops/20, 0))
		require.NotEqual(t, coach.Faulty, p.second().Advice.Reason)
	}
	v := p.second()
	for i := 0; i < 60 && v.Advice.Do != coach.Check; i++ {
		v = p.second()
	}
	require.Equal(t, coach.Unsaid, v.Advice.Reason, v.Sentence())
	assert.True(t, v.Falling.Against)
	assert.Contains(t, v.Why(), "the wrong way")
	p.notes(was)
	for i := 0; i < 60 && v.Advice.Reason != coach.Mistaken; i++ {
		v = p.second()
	}
	require.Equal(t, coach.Mistaken, v.Advice.Reason, v.Sentence())
	assert.Contains(t, v.Codes(), "kind:base")
}
