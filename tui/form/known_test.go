package form

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/shelf"
)

// A plan begins with the strength that was found for a bottle, says how old that is, and
// hands the name of the bottle on to the run.
func TestAPlanKnowsTheStrengthOfABottle(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	path, err := shelf.BenchFile()
	require.NoError(t, err)
	found := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	var book bench.Book
	book.State(bench.Found("K4", bench.Strength{Molar: 0.10415, Relative: 0.0015, Carbonate: 0.001, CarbonateSD: 0.002}, found))
	require.NoError(t, shelf.WriteBench(path, book))
	for text, want := range map[string]struct {
		molar float64
		words string
	}{
		"NaOH 0.1 M, bottle K4": {0.10415, "bottle K4 is 0.10415 mol/L, ± 2.5 % by now (found or stated on 2026-06-01)"},
		"NaOH 0.2 M, bottle K4": {0.2, "of bottle K4 no strength near 0.2 mol/L was found or stated; its label counts"},
		"NaOH 0.1 M, bottle Z":  {0.1, "of bottle Z no strength"},
		"NaOH 0.1 M":            {0.1, ""},
	} {
		b, err := written.ReadBottle(text)
		require.NoError(t, err, text)
		d := buffer.NewDemand(7.4)
		d.Bottles = []buffer.Bottle{b}
		words, err := knowBottles(&d, found.AddDate(0, 6, 0))
		require.NoError(t, err, text)
		assert.InDelta(t, want.molar, float64(d.Bottles[0].Molar), 1e-9, text)
		if want.words == "" {
			assert.Empty(t, words, text)
			continue
		}
		require.Len(t, words, 1, text)
		assert.Contains(t, words[0], want.words, text)
	}
}
