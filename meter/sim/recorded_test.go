package sim_test

import (
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"example.org/halfdrop/meter/sim"
)

var update = flag.Bool("update", false, "make the recorded electrodes anew out of testdata/recordings")

const recordings = "../../testdata/recordings/"

// rowsOf are the rows of a recording below its head.
func rowsOf(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open(recordings + file)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	require.NoError(t, err)
	return rows[1:]
}

func value(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

// beside is what the middle of a stretch has more than the square curve through the
// stretch (gonum, least squares): the noise of a reading, and little of the curve.
func beside(ys []float64) float64 {
	n := len(ys)
	x, y := mat.NewDense(n, 3, nil), mat.NewVecDense(n, ys)
	for i := range n {
		u := float64(i - n/2)
		x.SetRow(i, []float64{1, u, u * u})
	}
	var c mat.VecDense
	if err := c.SolveVec(x, y); err != nil {
		return math.NaN()
	}
	return ys[n/2] - c.AtVec(0)
}

// sensorNoise is what the readings of nine titrations are beside the curve through 31
// of them.
func sensorNoise(t *testing.T) (out []float64) {
	runs, names := map[string][]float64{}, []string{}
	for _, row := range rowsOf(t, "ethanoic-seconds/first_150_s.csv") {
		k := row[0] + "," + row[1]
		if runs[k] == nil {
			names = append(names, k)
		}
		runs[k] = append(runs[k], value(t, row[3]))
	}
	for _, k := range names {
		ys := runs[k]
		for i := 15; i < len(ys)-15; i++ {
			out = append(out, beside(slices.Clone(ys[i-15:i+16])))
		}
	}
	return out
}

// pickUp is how far the readings are above the lower line: the median of the lower
// half of the 121 readings round each.
func pickUp(t *testing.T) (out []float64) {
	var ys []float64
	for _, row := range rowsOf(t, "curd-pickup/rows_6001_on.csv") {
		ys = append(ys, value(t, row[1]))
	}
	for i := 60; i < len(ys)-60; i++ {
		near := slices.Sorted(slices.Values(ys[i-60 : i+61]))
		out = append(out, ys[i]-stat.Quantile(0.25, stat.Empirical, near, nil))
	}
	return out
}

// step is how much of the step into Tris the probe had done, from the last row before
// it to the mean of the last ten minutes of the hour.
func step(t *testing.T) (at, share []float64) {
	var s, mv []float64
	for _, row := range rowsOf(t, "isfet-tris/first_hour.csv") {
		s, mv = append(s, value(t, row[0])), append(mv, value(t, row[1]))
	}
	k := 0
	for i := 1; i < len(mv); i++ {
		if mv[i]-mv[i-1] > mv[k+1]-mv[k] {
			k = i - 1
		}
	}
	end := stat.Mean(mv[len(mv)-75:], nil)
	for i := k; i < len(mv) && s[i] <= s[k]+1800; i++ {
		at, share = append(at, s[i]-s[k]), append(share, (mv[i]-mv[k])/(end-mv[k]))
	}
	return at, share
}

// The files of recorded electrodes are what the open recordings say.
func TestTapes(t *testing.T) {
	at, share := step(t)
	for _, c := range []struct {
		name, source, licence, what, column string
		at, x                               []float64
	}{
		{"sensor", "ethanoic-seconds", "MIT, copyright 2025 Zeyu Yao", "readings of a student laboratory's sensor in ethanoic acid, less the square curve through the 31 round each, 1 s apart", "more", nil, sensorNoise(t)},
		{"pickup", "curd-pickup", "MIT, copyright 2026 samuelemoungang", "readings of an electrode with electrical pick-up, less its lower line, row by row, pauses closed up", "more", nil, pickUp(t)},
		{"probe", "isfet-tris", "Apache-2.0, ameliaritger/arduino-ph-sensor", "share of its step that a solid-state probe put into Tris had done, of where it stood within the hour", "share", at, share},
	} {
		var b strings.Builder
		fmt.Fprintf(&b, "# %s.\n# Out of testdata/recordings/%s: SOURCE.md and LICENSE.txt stand there.\n# Licence: %s.\ns,%s\n", c.what, c.source, c.licence, c.column)
		for i, x := range c.x {
			s := float64(i)
			if c.at != nil {
				s = c.at[i]
			}
			fmt.Fprintf(&b, "%g,%.4f\n", s, x)
		}
		file := filepath.Join("recorded", c.name+".csv")
		if *update {
			require.NoError(t, os.WriteFile(file, []byte(b.String()), 0o600))
		}
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, b.String(), string(text), "%s: go test ./meter/sim -run TestTapes -update", file)
		for _, near := range []string{"SOURCE.md", "LICENSE.txt"} {
			assert.FileExists(t, recordings+c.source+"/"+near)
		}
	}
}

// What is known of the recordings by their own description: SD 0.025 to 0.030 without
// memory; half of the readings some 0.3 to 0.6 above the lower line; 63 % of the step
// within 8 s and 95 % after minutes (SOURCE.md of each).
func TestTapesAreLikeTheirRecordings(t *testing.T) {
	sensor, err := sim.Recorded("sensor")
	require.NoError(t, err)
	assert.InDelta(t, 0.0275, sensor.SD, 0.004)
	assert.InDelta(t, 0, stat.Correlation(sensor.More[1:], sensor.More[:len(sensor.More)-1], nil), 0.15)

	pickup, err := sim.Recorded("pickup")
	require.NoError(t, err)
	var high []float64
	for _, x := range pickup.More {
		if x > 0.2 {
			high = append(high, x)
		}
	}
	assert.InDelta(t, 0.5, float64(len(high))/float64(len(pickup.More)), 0.1)
	assert.InDelta(t, 0.45, stat.Mean(high, nil), 0.15)

	probe, err := sim.Recorded("probe")
	require.NoError(t, err)
	assert.Greater(t, probe.Step[1], 0.63)
	assert.Contains(t, probe.Source(), "Apache-2.0")

	_, err = sim.Recorded("toaster")
	assert.ErrorContains(t, err, "pickup, probe, sensor")
}

// On a bench a step is followed as it stands on the tape, whatever the chemistry; the
// readings have the noise of the tape, and another bench begins at another place of it.
func TestRecordedElectrodesAreFollowed(t *testing.T) {
	probe, err := sim.Recorded("probe")
	require.NoError(t, err)
	s := plan(t)
	truth := sim.Truth{Seed: 4, Tape: probe, Before: 7, Decimals: 3, Temp: s.BenchTemp}
	b, err := sim.New(s, truth)
	require.NoError(t, err)
	rest := b.True()
	for i, at := range probe.StepAt {
		b.Advance(at)
		if i > 0 && i < len(probe.StepAt)-1 {
			assert.InDelta(t, 7+probe.Step[i]*(rest-7), b.Shown(), 1e-9)
		}
	}
	b.Advance(8000)
	require.NoError(t, b.Dispense("acid", 20, 0))
	was, will := b.Shown(), b.True()
	b.Advance(8008)
	assert.InDelta(t, was+probe.Step[1]*(will-was), b.Shown(), 0.02*math.Abs(will-was)+1e-6)

	sensor, err := sim.Recorded("sensor")
	require.NoError(t, err)
	first := map[float64]bool{}
	for seed := range uint64(5) {
		truth := sim.Truth{Seed: seed, Tape: sensor, Decimals: 3, Temp: s.BenchTemp}
		b, err := sim.New(s, truth)
		require.NoError(t, err)
		first[b.Read()-b.Shown()] = true
		assert.InDelta(t, b.Read(), b.Read(), 1e-12, "the same second, the same reading")
	}
	assert.Len(t, first, 5)
}
