package recorded_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
)

// sent is what a meter has sent, a pH each.
func sent(decimals int, at ...[2]float64) (w recorded.Seldom) {
	for _, x := range at {
		w = w.With(x[0], &journal.Reading{PH: &x[1], Decimals: decimals}, x[1])
	}
	return w
}

// resting is an electrode that comes to rest on a meter with two decimals that sends only what
// changes; n are its last readings.
func resting(n int) recorded.Seldom {
	all := [][2]float64{{0, 4.34}, {1, 4.38}, {2, 4.42}, {3, 4.45}, {4, 4.47}, {5, 4.48}, {7, 4.49}, {10, 4.50}, {15, 4.51}}
	return sent(2, all[len(all)-n:]...)
}

// TestAMeterThatSendsOnlyWhatChanges: six readings, of which the last three go by single digits,
// with two pauses, and none is the one before.
func TestAMeterThatSendsOnlyWhatChanges(t *testing.T) {
	w := resting(9)
	r, ok := w.Shows(19)
	require.True(t, ok)
	assert.Equal(t, 4.51, *r.PH)
	assert.True(t, r.Same)
	for after, shows := range map[float64]bool{1: false, 2: false, 3.9: false, 4: true, 5: true, 39: true, 41: false, 62: false} {
		_, ok := w.Shows(15 + after)
		assert.Equal(t, shows, ok, "%g s after", after)
	}
	w = w.With(19, &r, 4.51)
	_, ok = w.Shows(22)
	assert.False(t, ok, "it was said a moment ago")
	_, ok = w.Shows(23)
	assert.True(t, ok)
	_, ok = w.Shows(15 + 41)
	assert.False(t, ok, "eight times the latest pause count from what was sent")
	long := resting(9)
	for i, at := range []float64{30, 55, 90} {
		ph := 4.52 + 0.01*float64(i%2)
		long = long.With(at, &journal.Reading{PH: &ph, Decimals: 2}, ph)
	}
	for after, shows := range map[float64]bool{61: true, 119: true, 121: false, 179: false} {
		_, ok = long.Shows(90 + after)
		assert.Equal(t, shows, ok, "never for more than two minutes: %g", after)
	}
	climbing := sent(2, [2]float64{0, 4.3}, [2]float64{1, 4.31}, [2]float64{3, 4.32}, [2]float64{6, 4.33}, [2]float64{7, 4.34}, [2]float64{8, 4.35}, [2]float64{9, 4.36}, [2]float64{10, 4.37})
	_, ok = climbing.Shows(15)
	assert.True(t, ok)
	_, ok = climbing.Shows(19)
	assert.False(t, ok, "it went a digit each second, and falls silent")
	drops := 4.61
	_, ok = resting(9).With(16, &journal.Reading{PH: &drops, Decimals: 2}, drops).Shows(21)
	assert.False(t, ok, "drops fall, and it is silent")

	assert.True(t, w.Maybe())
	assert.True(t, recorded.Seldom{}.Maybe(), "before a reading")
	w = w.With(20, &journal.Reading{PH: r.PH, Decimals: 2}, 4.51)
	_, ok = w.Shows(25)
	assert.False(t, ok, "it has sent the same twice")
	assert.False(t, w.Maybe())

	fast := sent(2, [2]float64{0, 4.3}, [2]float64{0.3, 4.4}, [2]float64{0.6, 4.45}, [2]float64{0.9, 4.46}, [2]float64{2, 4.47}, [2]float64{4, 4.48})
	_, ok = fast.Shows(7)
	assert.False(t, ok, "not more often than each four seconds")
	_, ok = fast.Shows(8.1)
	assert.True(t, ok)
	assert.Equal(t, 4.0, fast.Every())
	assert.Zero(t, recorded.Seldom{}.Every())

	for n, shows := range map[int]bool{4: false, 5: false, 6: true, 8: true} {
		_, ok := resting(n).Shows(20)
		assert.Equal(t, shows, ok, "%d readings", n)
	}
}

// TestWhatIsNotSentSeldom: who goes by a clock, and falls silent, is silent.
func TestWhatIsNotSentSeldom(t *testing.T) {
	for name, w := range map[string]recorded.Seldom{
		"no pauses":          sent(2, [2]float64{0, 4.3}, [2]float64{1, 4.4}, [2]float64{2, 4.45}, [2]float64{3, 4.46}, [2]float64{4, 4.47}, [2]float64{5, 4.48}, [2]float64{6, 4.49}),
		"hardly any":         sent(2, [2]float64{0, 4.3}, [2]float64{1, 4.4}, [2]float64{2, 4.45}, [2]float64{3, 4.46}, [2]float64{4.6, 4.47}, [2]float64{6.2, 4.48}, [2]float64{7.8, 4.49}),
		"one":                sent(2, [2]float64{0, 4.3}, [2]float64{1, 4.4}, [2]float64{2, 4.45}, [2]float64{3, 4.46}, [2]float64{4, 4.47}, [2]float64{5, 4.48}, [2]float64{9, 4.49}),
		"two digits at last": sent(2, [2]float64{0, 4.3}, [2]float64{1, 4.4}, [2]float64{3, 4.45}, [2]float64{6, 4.46}, [2]float64{9, 4.48}, [2]float64{15, 4.49}),
		"large steps":        sent(3, [2]float64{0, 4.3}, [2]float64{1, 4.305}, [2]float64{3, 4.302}, [2]float64{6, 4.307}, [2]float64{9, 4.303}, [2]float64{15, 4.308}),
	} {
		_, ok := w.Shows(20)
		assert.False(t, ok, name)
	}
	pauses := sent(2, [2]float64{0, 4.3}, [2]float64{1, 4.4}, [2]float64{2, 4.45}, [2]float64{3, 4.46}, [2]float64{5, 4.47}, [2]float64{7, 4.48})
	_, ok := pauses.Shows(11)
	assert.True(t, ok, "of twice the shortest interval")
}

// TestRecordedMetersGoByTheClock: none of the recordings is one that sends only what changes;
// licence and source stand beside each.
func TestRecordedMetersGoByTheClock(t *testing.T) {
	for _, tt := range []struct {
		file          string
		run, at, ph   int
		decimals, few int
	}{{"ethanoic-seconds/first_150_s.csv", 1, 2, 3, 3, 9}, {"isfet-tris/first_hour.csv", -1, 0, 1, 3, 1}} {
		f, err := os.Open(filepath.Join("..", "..", "..", "testdata", "recordings", tt.file))
		require.NoError(t, err)
		defer f.Close()
		list, err := csv.NewReader(f).ReadAll()
		require.NoError(t, err)
		for decimals := 1; decimals <= tt.decimals; decimals++ {
			var w recorded.Seldom
			run, n := "", 0
			for _, row := range list[1:] {
				if key := fmt.Sprint(row[:max(0, tt.run+1)]); key != run {
					w, run = recorded.Seldom{}, key
					n++
				}
				at, err := strconv.ParseFloat(row[tt.at], 64)
				require.NoError(t, err)
				ph, err := strconv.ParseFloat(row[tt.ph], 64)
				require.NoError(t, err)
				digits := math.Pow10(decimals)
				ph = math.Round(ph*digits) / digits
				w = w.With(at, &journal.Reading{PH: &ph, Decimals: decimals}, ph)
				_, ok := w.Shows(at + 60)
				require.False(t, ok, "%s %s, %d decimals, at %g s", tt.file, run, decimals, at)
			}
			require.GreaterOrEqual(t, n, tt.few)
		}
	}
}
