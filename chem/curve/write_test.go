package curve_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func hepesCurve(t *testing.T) (*curve.Curve, []curve.Point) {
	c, err := curve.New(mix(t, 0.4, 21, map[string]chem.Amount{"HEPES": 0.0125}), mix(t, 1, 21, map[string]chem.Amount{"NaOH": 1}))
	require.NoError(t, err)
	p, err := c.Band(20*chem.Millilitre, 401, curve.OrdinaryCare())
	require.NoError(t, err)
	return c, p
}

func TestCSVHoldsThePoints(t *testing.T) {
	_, p := hepesCurve(t)
	var b bytes.Buffer
	require.NoError(t, curve.WriteCSV(&b, p))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, len(p)+1)
	assert.Equal(t, []string{"volume_ml", "ph", "ph_low", "ph_high", "ionic_strength_mol_kg", "dph_per_ml"}, rows[0])
	last, err := strconv.ParseFloat(rows[len(p)][1], 64)
	require.NoError(t, err)
	assert.InDelta(t, p[len(p)-1].PH, last, 5e-5)
}

func TestSVGIsWellFormedAndMarksWhatItShould(t *testing.T) {
	c, p := hepesCurve(t)
	v, err := c.VolumeAt(7.19)
	require.NoError(t, err)
	var b bytes.Buffer
	f := curve.Figure{Title: `HEPES <25 mM> & "cold"`, Titrant: "NaOH 1 M", Points: p, Marks: curve.Equivalences(p), Target: &curve.Target{Low: 7.17, High: 7.21, PH: 7.19, Volume: v}}
	require.NoError(t, f.WriteSVG(&b))
	text := b.String()
	for _, want := range []string{"volume of NaOH 1 M added / mL", ">pH<", "aim 7.19 ± 0.02", "equivalence 12.5 mL", "&lt;25 mM&gt;"} {
		assert.True(t, strings.Contains(text, want), want)
	}
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
	}
	assert.Error(t, curve.Figure{}.WriteSVG(io.Discard))
}

// TestJSONIsTheTable: the objects hold what the table holds, in its units.
func TestJSONIsTheTable(t *testing.T) {
	points := []curve.Point{{Volume: 1.25e-3, PH: 7.1234, Low: 7.09, High: 7.16, Strength: 0.0321, Slope: 80}, {Volume: 2.5e-3, PH: 7.5, Low: 7.4, High: 7.6, Strength: 0.04, Slope: 90}}
	var table, list strings.Builder
	require.NoError(t, curve.WriteCSV(&table, points))
	require.NoError(t, curve.WriteJSON(&list, points))
	var got []map[string]float64
	require.NoError(t, json.Unmarshal([]byte(list.String()), &got))
	rows, err := csv.NewReader(strings.NewReader(table.String())).ReadAll()
	require.NoError(t, err)
	require.Len(t, got, len(rows)-1)
	for i, row := range rows[1:] {
		for k, name := range rows[0] {
			want, err := strconv.ParseFloat(row[k], 64)
			require.NoError(t, err)
			assert.InEpsilon(t, want, got[i][name], 1e-4, name)
		}
	}
}
