package trial_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/trial"
)

// TestStepsThatLeadNowhereGrow: where accounts of the beaker differ in where its aim is,
// drop after drop would be given and none of them tell anything. On this bench, strong
// citrate whose aim hangs on the amount, it took 23 additions.
func TestStepsThatLeadNowhereGrow(t *testing.T) {
	row := play(t, trial.Options{Tier: trial.Student, Runs: 1, Seed: 700036, Strategies: strategies(t, "coach")}).Rows[0]
	assert.Equal(t, 1.0, row.In)
	assert.Equal(t, 8.0, row.Adds.Mean)
}
