package replay_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/trial"
)

// Half of an order was counted when the telephone rang: the electrode hung in the air for
// minutes, came back with i, and the other half was counted. What the addition left is what was
// read before its first drop; the record gave it, and the addition before it, a pH of the time
// in between.
func TestAnAdditionAcrossAPause(t *testing.T) {
	b, err := trial.Draw(trial.Laboratory, 3)
	require.NoError(t, err)
	c := newClumsy(t, b, 3, hands.AtOnce)
	var v = c.settle()
	for i := 0; v.Advice.Do != coach.Add && i < 100; i++ {
		v = c.wait(2)
	}
	require.Equal(t, coach.Add, v.Advice.Do)
	stock := v.Advice.Stock
	c.give(stock, v.Advice.Drops/2)
	c.wait(60)
	settled := float64(c.settle().Settling.End)

	st := c.bench.Setup.Stocks[stock]
	more := v.Advice.Drops / 4
	from := c.sec
	require.NoError(t, c.keep.Take(journal.Event{T: from, Kind: journal.Dosing}))
	c.fall(st.Name, more, 0, more, true)
	for range 90 {
		c.sec++
		ph := settled + 1.5 + 0.03*c.r.NormFloat64()
		require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 3}}))
	}
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Immersed}))
	c.wait(12)
	c.fall(st.Name, more, 0, more, true)
	a, err := c.keep.State.Addition(st.Name, 2*more, 0)
	require.NoError(t, err)
	a.From = &from
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Added, Added: &a}))
	c.end()

	r, err := replaytest.Of(c.log.Events)
	require.NoError(t, err)
	steps := r.Review().Steps
	require.Len(t, steps, 2)
	assert.InDelta(t, settled, steps[0].After.PH, 0.03, "after the first")
	assert.InDelta(t, settled, steps[1].Before.PH, 0.03, "before the second")
	assert.InDelta(t, c.sim.Rest(), steps[1].After.PH, 0.1, "what came after is not of the air")
}
