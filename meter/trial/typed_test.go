package trial_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/trial"
)

// A person reads the display every 20 to 60 s and types it. That the coach never
// waits on a value said to stand is an error of the play. The bounds are modest, as
// those of the coach on a line.
func TestHundredRunsByHand(t *testing.T) {
	runs := 100
	if testing.Short() {
		runs = 20
		t.Log("short: 20 benches of 100")
	}
	table := play(t, trial.Options{Runs: runs, Tier: trial.Ordinary, Seed: 30000, Strategies: strategies(t, "hand,hand-passing"), Workers: 2})
	var text bytes.Buffer
	require.NoError(t, table.WriteText(&text))
	table.WriteFailures(&text, 20)
	t.Log("\n" + text.String())
	for _, r := range table.Rows {
		assert.GreaterOrEqual(t, r.In, 0.98, r.Strategy.Name)
		assert.LessOrEqual(t, r.Over, 0.02, r.Strategy.Name)
		assert.LessOrEqual(t, r.Adds.Mean, 3.7, r.Strategy.Name)
		assert.LessOrEqual(t, r.Typed.Mean, 11.0, r.Strategy.Name)
		assert.LessOrEqual(t, float64(r.Asked), 0.01*r.Typed.Mean*float64(runs), "honest values are not asked about")
	}
	assert.LessOrEqual(t, table.Rows[0].Typed.Mean, 9.0)
}
