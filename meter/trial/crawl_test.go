package trial_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/trial"
)

// TestStepsThatLeadNowhereGrow: where accounts of the beaker differ in where its aim is,
// drop after drop would be given and none of them tell anything. On this bench, strong
// citrate whose aim hangs on the amount, it took 23 additions, where each might pass with a chance of 0.007, and 8 then.
func TestStepsThatLeadNowhereGrow(t *testing.T) {
	row := play(t, trial.Options{Tier: trial.Student, Runs: 1, Seed: 700036, Strategies: strategies(t, "coach")}).Rows[0]
	assert.Equal(t, 1.0, row.In)
	assert.LessOrEqual(t, row.Adds.Mean, 4.0)
}
