package trial_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/trial"
)

// What is said in the end of what drops did, where no mistake was named, is so: larger where
// they do more. The benches are of our own simulator; what the readings of a pH meter can
// show of it is a ratio of charges, whatever its cause.
func TestWhatIsSaidOfDropsIsSo(t *testing.T) {
	said, silent, off := 0, 0, 0
	o := trial.Options{Runs: 60, Seed: 30001, Tier: trial.Harsh, Strategies: strategies(t, "coach"), Workers: 2}
	for _, out := range play(t, o).Rows[0].Outcomes {
		if out.Gross == trial.OtherSalt || !out.Stopped || len(out.Named) > 0 { // the plan is another by then
			continue
		}
		b, err := trial.Draw(o.Tier, out.Seed)
		require.NoError(t, err)
		switch is := b.Brings(); {
		case out.Brought > 0:
			said++
			if by := math.Abs(math.Log(out.Brought / is)); by > math.Log(1.25) {
				off++
			}
			assert.InDelta(t, math.Log(is), math.Log(out.Brought), math.Log(1.4), "seed %d, %s, %s: %.2f for %.2f", out.Seed, out.System, out.Gross, out.Brought, is)
		case math.Abs(math.Log(is)) > math.Log(1.45):
			silent++
			t.Logf("seed %d, %s, %s: nothing said of %.2f", out.Seed, out.System, out.Gross, is)
		}
	}
	assert.Greater(t, said, 10)
	assert.LessOrEqual(t, off, said/20, "off by a quarter, of %d", said)
	assert.LessOrEqual(t, silent, said/10)
}
