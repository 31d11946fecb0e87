package trial

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestUnweighedBeakersEndInside: alone and in mixtures, whatever is in them.
func TestUnweighedBeakersEndInside(t *testing.T) {
	for _, mixed := range []bool{false, true} {
		table, err := RunUnweighed(Options{Runs: 8, Tier: Ordinary, Seed: 501, Workers: 2}, mixed)
		require.NoError(t, err)
		r := table.Rows[0]
		require.GreaterOrEqual(t, r.In, 7.0/8)
		require.LessOrEqual(t, r.Over, 1.0/8)
		require.Less(t, r.Adds.Mean, 12.5)
		for _, o := range r.Outcomes {
			require.Empty(t, o.Named, "no mistake is named of what nobody planned")
		}
	}
}
