package foreign_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
)

// Portions that were given one by one fall where smaller ones were taken near the end:
// that is no burette, and is asked about. Taken for one, it was read as nonsense with
// status 0.
func TestPortionsAreNoBurette(t *testing.T) {
	for name, portions := range map[string][]float64{
		"falling":  {0, 1, 1, 1, 1, 1, 1, 0.5, 0.5, 0.5, 0.2, 0.2, 0.2},
		"up again": {0, 1, 1, 1, 1, 1, 1, 0.2, 0.2, 0.2, 0.2, 1, 1},
		"only":     {2, 2, 2, 2, 1, 1, 1, 1, 0.5, 0.5, 0.5, 0.5},
	} {
		text := "added mL,pH\n"
		for i, v := range portions {
			text += fmt.Sprintf("%g,%.2f\n", v, 3+0.3*float64(i))
		}
		_, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
		var q *foreign.Question
		require.ErrorAs(t, err, &q, "%s: %v", name, err)
		assert.Equal(t, "--volume-is", q.Flag)
	}
	// A burette that is read at each row still is one, also where somebody read twice.
	text := "left,pH\n"
	for i := range 20 {
		text += fmt.Sprintf("%g,%.2f\n", 50-float64(i-i/5), 3+0.3*float64(i))
	}
	l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{Column: map[string]string{"volume": "left"}})
	require.NoError(t, err)
	assert.InDelta(t, 16, l.Rows[19].ML, 1e-9)
}

// Decimal commas between commas stand in quotes.
func TestQuotedDecimalCommas(t *testing.T) {
	c := aceticCurve()
	text := c.rows("pH,\"V, mL\"\n", func(_ int, v, ph float64) string {
		return strings.ReplaceAll(fmt.Sprintf(`"%.2f";"%.2f"`, ph, v), ".", ",")
	})
	text = strings.ReplaceAll(text, `";"`, `","`)
	l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
	require.NoError(t, err)
	v := l.Review(fit.Options{})
	require.NotNil(t, v.Fit)
	assert.InDelta(t, 25.0, v.Fit.Ends[0].Value, 0.03)
}

// Words with numbers among them are no table, whatever stands in them.
func TestProseIsNoTable(t *testing.T) {
	text := "Notes of the day: the pH was 4.76 after 12 mL and rose from there\n" +
		"Later on there were 3 runs of 901 rows in all, and 71 of them with a mark\n" +
		"the sensor of the class reads about 0.5 too high, or 0.6, at pH 7 and at pH 4\n" +
		"after the last mark at 31 mL it goes on from 12.4 to 12.8 in 215 s or so\n"
	_, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
	assert.ErrorContains(t, err, "no table of numbers")
	l, err := foreign.ReadLog(strings.NewReader("volume pH\n0 3.1\n1 3.9 a little too fast here, sorry, will wait longer\n2 4.4\n3 4.7\n"), foreign.LogOptions{})
	require.NoError(t, err)
	assert.Len(t, l.Rows, 4, "a remark at the end of a row is no prose")
}

// A minimum is no time in minutes: the clock beside it is the time.
func TestAMinimumIsNoTime(t *testing.T) {
	text := "Date,Time,pH,low min,raw min,raw max\n"
	for i := range 30 {
		text += fmt.Sprintf("4/12/23,11:%02d:00,%.2f,%d,%d,%d\n", i, 4+0.1*float64(i), 3200-7*(i%5), 3200+i, 3300+i)
	}
	l, err := foreign.ReadLog(strings.NewReader(text), foreign.LogOptions{})
	require.NoError(t, err)
	assert.InDelta(t, 60, l.Rows[1].T-l.Rows[0].T, 1e-9)
	assert.NotContains(t, strings.Join(l.Notes, " "), "backwards")
}
