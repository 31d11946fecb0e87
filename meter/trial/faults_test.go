package trial_test

import (
	"context"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/trial"
)

// Of the faults that the readings can show, 70 to 75 % are rightly named with
// hands that drip, in 4 runs of each; what is named on a sound bench weighs more,
// and was nothing in 30. This is a small part of halfdrop trial --faults;
// HALFDROP_RUNS makes it longer.
func TestFaultsAreNamed(t *testing.T) {
	runs, wanted := 1, 0.6 // a single run each says little
	if n, err := strconv.Atoi(os.Getenv("HALFDROP_RUNS")); err == nil && n > 1 {
		runs = n
		if runs >= 10 {
			wanted = 0.68
		}
	} else {
		t.Log("one run with each fault and eight sound ones; HALFDROP_RUNS sets more")
	}
	var names []string
	for _, k := range sim.Faults() {
		names = append(names, k.Name)
	}
	sights, err := trial.WatchAll(context.Background(), trial.Ordinary, names, runs, 8*runs, 9001, 2, nil)
	require.NoError(t, err)
	table := trial.Name(sights)
	assert.GreaterOrEqual(t, len(table.Rows), 21, "at least twenty faults and the sound benches")
	assert.GreaterOrEqual(t, table.Right, wanted, "%+v", trial.Wrong(sights))
	assert.LessOrEqual(t, table.False, 0.02+1/float64(8*runs)*0.5)
}

// No addition is advised while the reading is known to be bad, and the same
// bench is watched the same way again.
func TestBadReadingsAreNotDosedOn(t *testing.T) {
	for _, fault := range []string{"dry_tip", "lead", "vortex", "cracked"} {
		b, onset, err := trial.WithFault(trial.Ordinary, fault, 77)
		require.NoError(t, err)
		one, err := trial.Watch(b, fault, onset)
		require.NoError(t, err)
		two, err := trial.Watch(b, fault, onset)
		require.NoError(t, err)
		assert.Equal(t, one, two)
		assert.Equal(t, fault, string(one.Named))
		assert.NotEqual(t, "add", one.Advice, "%s: %s", fault, one.Words)
	}
}
