package find_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/find"
)

// A strong acid has one equivalence point with a base that holds no carbonate, at pH 7, and
// two with one that holds 1 %: at pH 5, where it counts, and at pH 8, where it does not.
func TestTheLeapOfAStrongAcidIsOne(t *testing.T) {
	with := func(share, sd float64) []find.Station {
		b := kit{reagent: "HCl", mmol: 2, partSD: 0.001, ml: 40, titrant: "NaOH", molar: 0.1, what: find.Amount, change: func(b *find.Bench) {
			b.Stocks[0].Carbonate, b.Stocks[0].CarbonSD = share, sd
		}}.bench(t)
		bel, err := b.Believe(log(nil, 0))
		require.NoError(t, err)
		return bel.Stations()
	}
	for _, share := range []float64{0, 1e-6} {
		st := with(share, share/10)
		require.Len(t, st, 1, share)
		assert.InDelta(t, 7, st[0].PH, 0.11, "the middle of water")
		assert.InDelta(t, 20, st[0].Volume.Millilitres(), 0.001)
	}
	st := with(0.01, 0.0005)
	require.Len(t, st, 2)
	assert.InDelta(t, 20/1.01, st[0].Volume.Millilitres(), 0.001, "all of the base")
	assert.InDelta(t, 20, st[1].Volume.Millilitres(), 0.001, "its strength, by pH 8 to 9")
	assert.InDelta(t, 5, st[0].PH, 0.5)
	assert.InDelta(t, 8.2, st[1].PH, 0.5)
}
