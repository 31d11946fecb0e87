package foreign_test

import (
	"fmt"
	"strings"
	"testing"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// foreignLog is a table with a header and twenty rows.
func foreignLog(header string, row func(i int) string) string {
	var b strings.Builder
	b.WriteString(header + "\n")
	for i := range 20 {
		b.WriteString(row(i) + "\n")
	}
	return b.String()
}

// No column of another program's log is taken for what its name says it is not.
func TestForeignColumnsAreNotMistaken(t *testing.T) {
	ph := func(i int) float64 { return 3 + 0.3*float64(i) }
	for name, tt := range map[string]struct {
		log  string
		want map[string]string // quantity: column; nil when a person has to say
	}{
		"V is a volume":      {foreignLog("V,pH", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 0.5*float64(i), ph(i)) }), map[string]string{"volume": "V", "ph": "pH"}},
		"V NaOH":             {foreignLog("V NaOH;pH", func(i int) string { return fmt.Sprintf("%.2f;%.2f", 0.5*float64(i), ph(i)) }), map[string]string{"volume": "V NaOH", "ph": "pH"}},
		"V_KOH is no time":   {foreignLog("V_KOH,pH", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 2*float64(i), ph(i)) }), map[string]string{"volume": "V_KOH", "ph": "pH"}},
		"V (mL)":             {foreignLog("V (mL),pH", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 0.5*float64(i), ph(i)) }), map[string]string{"volume": "V (mL)", "ph": "pH"}},
		"pAg is no pH":       {foreignLog("mL,pAg", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 0.5*float64(i), ph(i)) }), nil},
		"V alone is no pH":   {foreignLog("V,signal x", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 0.5*float64(i), 1000+ph(i)) }), nil},
		"a mass is no pH":    {foreignLog("mass / g,ratio", func(i int) string { return fmt.Sprintf("%.3f,%.3f", ph(i), 1/ph(i)) }), nil},
		"voltage in mV":      {foreignLog("volume,Voltage (mV)", func(i int) string { return fmt.Sprintf("%.2f,%.1f", 0.5*float64(i), 230-18*float64(i)) }), map[string]string{"volume": "volume", "mv": "Voltage (mV)"}},
		"without a header":   {strings.TrimPrefix(foreignLog("", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 0.5*float64(i)+0.01*float64(i*i), ph(i)) }), "\n"), map[string]string{"volume": "column 1", "ph": "column 2"}},
		"volume or time":     {strings.TrimPrefix(foreignLog("", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 0.5*float64(i), ph(i)) }), "\n"), nil},
		"a name for nothing": {foreignLog("mL,value", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 0.5*float64(i), ph(i)) }), map[string]string{"volume": "mL", "ph": "value"}},
	} {
		l, err := foreign.ReadLog(strings.NewReader(tt.log), foreign.LogOptions{})
		if tt.want == nil {
			var q *foreign.Question
			assert.ErrorAs(t, err, &q, name)
			continue
		}
		if assert.NoError(t, err, name) {
			assert.Equal(t, tt.want, l.Columns, name)
		}
	}
	// Said by the person, it is taken.
	l, err := foreign.ReadLog(strings.NewReader(foreignLog("mL,pX", func(i int) string { return fmt.Sprintf("%.2f,%.2f", 0.5*float64(i), ph(i)) })), foreign.LogOptions{Column: map[string]string{"ph": "pX"}})
	require.NoError(t, err)
	assert.Equal(t, "pX", l.Columns["ph"])
}

// Volts become millivolts.
func TestForeignVolts(t *testing.T) {
	l, err := foreign.ReadLog(strings.NewReader(foreignLog("volume,Voltage (V)", func(i int) string { return fmt.Sprintf("%.2f,%.4f", 0.5*float64(i), 0.230-0.018*float64(i)) })), foreign.LogOptions{})
	require.NoError(t, err)
	assert.InDelta(t, 7-230/59.16, l.Rows[0].PH, 0.01)
}

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
