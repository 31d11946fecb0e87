package trial_test

import (
	"bytes"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/trial"
)

// A person reads the display every 20 to 60 s and types it. The bounds are modest, as
// those of the coach on a line: of so few benches the mean of what is typed is known to
// 0.4 of a value.
func TestRunsByHand(t *testing.T) {
	runs := 16
	if n, err := strconv.Atoi(os.Getenv("HALFDROP_RUNS")); err == nil {
		runs = n
	}
	table := play(t, trial.Options{Runs: runs, Tier: trial.Ordinary, Seed: 30000, Strategies: strategies(t, "hand,hand-passing"), Workers: 2})
	var text bytes.Buffer
	require.NoError(t, table.WriteText(&text))
	table.WriteFailures(&text, 20)
	t.Log("\n" + text.String())
	for _, r := range table.Rows {
		one := 1 / float64(runs)
		assert.GreaterOrEqual(t, r.In, 1-max(0.02, one), r.Strategy.Name)
		assert.LessOrEqual(t, r.Over, max(0.02, one), r.Strategy.Name)
		assert.LessOrEqual(t, r.Adds.Mean, 3.5, r.Strategy.Name)
		assert.LessOrEqual(t, r.Typed.Mean, 11.0, r.Strategy.Name)
		assert.LessOrEqual(t, float64(r.Asked), 0.01*r.Typed.Mean*float64(runs), "honest values are not asked about")
	}
	assert.LessOrEqual(t, table.Rows[0].Typed.Mean, 9.5)
}
