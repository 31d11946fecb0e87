package foreign_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/foreign"
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
