package trial

import (
	"math"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"github.com/stretchr/testify/require"
)

// TestRunTeachesWhatADropBrings: what runs have shown lies round the truth as
// widely as they say, a root mean square of z near 1 over the benches.
func TestRunTeachesWhatADropBrings(t *testing.T) {
	sum, n := 0.0, 0
	for seed := uint64(1); seed <= 8; seed++ {
		b, err := Draw(Ordinary, seed)
		require.NoError(t, err)
		b.Setup, err = recipe.Compile(withNames(&b.Plan))
		require.NoError(t, err)
		var book bench.Book
		_, err = teach(b, &book)
		require.NoError(t, err)
		for _, x := range book.Recall(b.Setup, electrodeName, learned).Stocks {
			if x.Runs == 0 {
				continue
			}
			j := b.Setup.Stocks[coarse].Name
			if x.Titrant != j {
				continue
			}
			truth := b.Truth.LnDrop[0] + b.Truth.LnStrength[coarse]
			z := (math.Log(x.Factor) - truth) / (math.Hypot(x.SharedSDPct, x.OwnSDPct) / 100)
			sum, n = sum+z*z, n+1
		}
	}
	require.GreaterOrEqual(t, n, 7, "nearly every run that ended well teaches")
	require.InDelta(t, 1, math.Sqrt(sum/float64(n)), 0.6)
}

// TestRememberedRunIsShorter than one that remembers nothing, and as safe; a bottle
// of another strength under the same name does not break it.
func TestRememberedRunIsShorter(t *testing.T) {
	a, err := RunAgain(Options{Runs: 6, Tier: Ordinary, Seed: 20003, Workers: 2}, []Change{{"again", 1}, {"stronger", 1.25}})
	require.NoError(t, err)
	by := map[string]Row{}
	for _, r := range a.Rows {
		by[r.Strategy.Name] = r
	}
	none, again := by["again, nothing remembered"], by["again"]
	require.Less(t, again.Adds.Mean, none.Adds.Mean)
	require.Zero(t, again.Over)
	for _, name := range []string{"again", "stronger"} {
		require.GreaterOrEqual(t, by[name].In, 0.93, name)
	}
}
