package foreign_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
)

// aceticAt is the pH of 25 mL of acetic acid, 0.0832 M, with v mL of NaOH 0.1 M, by the balance
// of charge and the activity coefficients of Davies; it shares no code with the program. pK of
// acetic acid and of water are handbook values, from memory.
func aceticAt(v, pk, pkw float64) float64 {
	volume := 25 + v
	na, acid := 0.1*v/volume, 0.0832*25/volume
	ionic, ph := na, 7.0
	for range 20 {
		root := math.Sqrt(math.Max(ionic, 1e-5))
		gamma := math.Pow(10, -0.509*(root/(1+root)-0.3*ionic))
		low, high := 0.0, 14.0
		var h, oh, a float64
		for range 60 {
			ph = (low + high) / 2
			h, oh = math.Pow(10, -ph)/gamma, math.Pow(10, ph-pkw)/gamma
			k := math.Pow(10, -pk) / (gamma * gamma)
			a = acid * k / (h + k)
			if na+h-oh-a > 0 {
				low = ph
			} else {
				high = ph
			}
		}
		ionic = (na + h + oh + a) / 2
	}
	return ph
}

// A log that says nothing of its temperature was taken as 25.0 °C: a sound meter in a cold
// laboratory was said to show 0.24 too high, with a pK 0.24 off and a spread of 0.007.
func TestALogWithoutATemperature(t *testing.T) {
	const apparent = 4.68 // at the ionic strength in the middle of the curve
	for _, c := range []struct{ t, pk, pkw float64 }{{18, 4.757, 14.236}, {25, 4.756, 13.995}, {30, 4.757, 13.833}} {
		log := func(above, column, cell string) foreign.LogReview {
			var b strings.Builder
			fmt.Fprintf(&b, "%smL,pH%s\n", above, column)
			for i := range 27 {
				v := float64(i)
				if i > 18 && i < 24 {
					v -= 0.3
				}
				fmt.Fprintf(&b, "%.2f,%.2f%s\n", v, aceticAt(v, c.pk, c.pkw)+0.005*float64(i%3-1), cell)
			}
			l, err := foreign.ReadLog(strings.NewReader(b.String()), foreign.LogOptions{})
			require.NoError(t, err)
			return l.Review(fit.Options{SampleML: 25, Molar: 0.1})
		}
		bare := log("", "", "")
		require.NotNil(t, bare.Fit)
		require.Len(t, bare.Fit.Sites, 1)
		pk := bare.Fit.Sites[0].PK
		assert.InDelta(t, apparent, pk.Value, 2*pk.SD, "%g °C", c.t)
		assert.Less(t, pk.SD, 0.2, "%g °C: no more than a laboratory is cold or warm", c.t)
		assert.InDelta(t, 0, bare.Fit.Shift.Value, 2*bare.Fit.Shift.SD, "%g °C", c.t)
		says := strings.Join(bare.FitSays, "; ")
		assert.NotContains(t, says, "the meter seems to show", "%g °C", c.t)
		assert.Contains(t, says, "the temperature is not known: taken as 25 ± 4 °C")
		assert.InDelta(t, 20.8, bare.Fit.Ends[0].Value, 0.05, "%g °C: a volume hangs on no temperature", c.t)
		assert.Less(t, bare.Fit.Ends[0].SD, 0.06)
		for name, v := range map[string]foreign.LogReview{
			"a column":      log("", ",T (C)", fmt.Sprintf(",%g", c.t)),
			"a line":        log(fmt.Sprintf("Sample at %g °C\n", c.t), "", ""),
			"a named value": log(fmt.Sprintf("Temperature: %g\n", c.t), "", ""),
		} {
			require.Len(t, v.Fit.Sites, 1, name)
			assert.InDelta(t, apparent, v.Fit.Sites[0].PK.Value, 0.03, "%s %g °C", name, c.t)
			assert.Less(t, v.Fit.Shift.SD, 0.02, name)
			assert.NotContains(t, strings.Join(v.FitSays, "; "), "temperature is not known", name)
		}
	}
}

// Notes as a person keeps them: what stands right above the rows, with two figures of its own,
// was left out as no row of numbers, and sample and strength with it.
func TestNotesAboveARow(t *testing.T) {
	var b strings.Builder
	b.WriteString("Titration of vinegar, group 4\n25 ml sample, NaOH 0.1 mol/l\n\n")
	for i := range 20 {
		fmt.Fprintf(&b, "%d ml   pH %.2f\n", i, aceticAt(float64(i), 4.756, 13.995))
	}
	l, err := foreign.ReadLog(strings.NewReader(b.String()), foreign.LogOptions{})
	require.NoError(t, err)
	assert.Len(t, l.Rows, 20)
	assert.Equal(t, []string{"Titration of vinegar, group 4", "25 ml sample, NaOH 0.1 mol/l"}, l.Facts)
	assert.InDelta(t, 25, l.Known.SampleML, 1e-9)
	assert.InDelta(t, 0.1, l.Known.Molar, 1e-9)
	assert.Empty(t, l.Notes)
}

// Names beside values, as a logger of somebody's own writes them; a row is the line of the file.
func TestNamesBesideValues(t *testing.T) {
	var b strings.Builder
	for i := range 20 {
		fmt.Fprintf(&b, "V=%d mL; pH=%.2f; T=18.0C\n", i, aceticAt(float64(i), 4.757, 14.236))
	}
	l, err := foreign.ReadLog(strings.NewReader(b.String()), foreign.LogOptions{})
	require.NoError(t, err)
	require.Len(t, l.Rows, 20)
	assert.Equal(t, 1, l.Rows[0].Line)
	assert.Equal(t, 1, l.HeadAt[0])
	assert.InDelta(t, 19, l.Rows[19].ML, 1e-9)
	assert.InDelta(t, 18, l.Rows[0].Temp, 1e-9)
	_, err = foreign.ReadLog(strings.NewReader("PK\x03\x04"), foreign.LogOptions{})
	require.ErrorIs(t, err, foreign.ErrNoTable)
	assert.ErrorContains(t, err, "save the sheet as CSV")
}
