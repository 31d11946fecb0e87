package find_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
)

// log is a titration somebody has made: mL of the first stock, and pH.
func log(dots []find.Dot, sd float64) coach.History {
	var h coach.History
	last := 0.0
	for _, d := range dots {
		if d.ML > last {
			h.Additions = append(h.Additions, coach.Addition{Volume: chem.Volume(d.ML-last) * chem.Millilitre})
			last = d.ML
		}
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: d.PH, SD: sd})
	}
	return h
}

// Table 14.4 of OpenStax Chemistry 2e (seen): 25.00 mL of 0.100 M acetic acid and
// of 0.100 M HCl with 0.100 M NaOH, computed for ideal solutions.
var openStax = map[string][]find.Dot{
	"acetic acid": {{0, 2.87}, {5, 4.14}, {10, 4.57}, {15, 4.92}, {20, 5.35}, {22, 5.61}, {24, 6.13}, {24.5, 6.44}, {24.9, 7.14}, {25, 8.72}, {25.1, 10.30}, {25.5, 11.00}, {26, 11.29}, {28, 11.75}, {30, 11.96}},
	"HCl":         {{0, 1.00}, {5, 1.18}, {10, 1.37}, {15, 1.60}, {20, 1.95}, {22, 2.20}, {24, 2.69}, {24.5, 3.00}, {24.9, 3.70}, {25, 7.00}, {25.1, 10.30}, {25.5, 11.00}, {26, 11.29}, {28, 11.75}, {30, 11.96}},
}

func TestTablesOfATextbook(t *testing.T) {
	for name, dots := range openStax {
		t.Run(name, func(t *testing.T) {
			// The amount is unknown by a factor of two; truth is 2.5 mmol, 25.00 mL.
			b := kit{reagent: name, mmol: 3.5, partSD: 0.7, ml: 25, titrant: "NaOH", molar: 0.1, what: find.Amount, pkSD: 0.03, change: func(b *find.Bench) {
				b.ShiftSD, b.Stocks[0].Carbonate, b.Stocks[0].CarbonSD = 0.1, 0, 0
			}}.bench(t)
			bel, err := b.Believe(log(dots, 0.01))
			require.NoError(t, err)
			f := bel.Found()
			require.GreaterOrEqual(t, f.Main, 0)
			t.Logf("%.4f ± %.4f mmol, %.3f ± %.3f mL, misfit %.2f, shift %.3f, %v", f.Value*1e3, f.SD*1e3, f.Stations[f.Main].Volume.Millilitres(), f.Stations[f.Main].SD.Millilitres(), f.Misfit, f.Shift, f.Causes)
			assert.InDelta(t, 2.5e-3, f.Value, 2*f.SD)
			assert.Less(t, f.Relative(), 0.002)
			assert.True(t, f.Passed)
			assert.InDelta(t, 25.00, f.Stations[f.Main].Volume.Millilitres(), 0.04)

			c := find.Classical(dots, find.Near{ML: 25, Start: 25}, name == "HCl")
			t.Logf("%+v", c)
			assert.InDelta(t, 25.0, c.Steepest, 0.06, "half of the smallest interval")
			assert.InDelta(t, 25.0, c.Second, 0.02)
			assert.InDelta(t, 25.0, c.Before, 0.05)
			assert.InDelta(t, 25.0, c.After, 0.03)
		})
	}
}

// A worked example of the second difference: 2.433 mmol of chloride with 0.1000 M
// silver nitrate, potential in V; the zero lies at 24.34 mL (Skoog, West, Holler &
// Crouch, Fundamentals of Analytical Chemistry: from memory).
func TestSecondDifferenceOfATextbook(t *testing.T) {
	dots := []find.Dot{{5, .062}, {15, .085}, {20, .107}, {22, .123}, {23, .138}, {23.5, .146}, {23.8, .161}, {24, .174}, {24.1, .183}, {24.2, .194}, {24.3, .233}, {24.4, .316}, {24.5, .340}, {24.6, .351}, {24.7, .358}, {25, .373}, {25.5, .385}, {26, .396}, {28, .426}}
	c := find.Classical(dots, find.Near{ML: 24.3, Start: 50}, false)
	assert.InDelta(t, 24.35, c.Steepest, 1e-9)
	assert.InDelta(t, 24.34, c.Second, 0.005)
}

// logs are open recordings of titrations whose licence keeps them out of the project,
// or that are too long for it.
func logs(t *testing.T, name string) string {
	t.Helper()
	if dir := os.Getenv("HALFDROP_LOGS"); dir != "" {
		path := filepath.Join(dir, name)
		require.FileExists(t, path, "HALFDROP_LOGS")
		return path
	}
	t.Skipf("NOT RUN: the estimate was not compared with the open log %s, which is not part of the project; set HALFDROP_LOGS to a folder that holds it", name)
	return ""
}

func numbers(t *testing.T, path string, comma rune) (out [][]float64) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	r := csv.NewReader(strings.NewReader(string(data)))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = comma, -1, true
	rows, err := r.ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		var x []float64
		for _, cell := range row {
			v, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
			if err != nil {
				v = math.NaN()
			}
			x = append(x, v)
		}
		out = append(out, x)
	}
	return out
}
