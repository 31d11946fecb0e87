package foreign

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// table is a log of ten rows with a head, its cells by a function of the row.
func table(t *testing.T, head string, row func(i int) string) *Log {
	t.Helper()
	text := head + "\n"
	for i := range 10 {
		text += row(i) + "\n"
	}
	l, err := ReadLog(strings.NewReader(text), LogOptions{})
	require.NoError(t, err, text)
	return l
}

// A question says with which flag it is answered, by the number of a column where its name is
// one already.
func TestHintsOfQuestions(t *testing.T) {
	assert.Equal(t, "say so with --volume-is total, or rise", (&Question{Flag: "--volume-is", Choices: []string{"total", "rise"}}).Hint())
	for first, said := range map[string]string{"pH left": `"pH left"`, "3 (no name)": `"3"`, "E (mV)": `"E (mV)"`} {
		assert.Contains(t, (&Question{Flag: "--ph", Choices: []string{first, "x"}}).Hint(), "--ph, for instance --ph "+said+";", first)
	}
}

// A unit that stands in a column of its own is that of the column before it, while it is the
// same in every row.
func TestUnitsBesideTheirNumbers(t *testing.T) {
	ph := func(i int) float64 { return 4 + 0.5*float64(i) }
	l := table(t, "amount;;value;", func(i int) string { return fmt.Sprintf("%d;mL;%.1f;pH", i, ph(i)) })
	assert.Equal(t, map[string]string{"volume": "amount", "ph": "value"}, l.Columns)
	assert.InDelta(t, 9, l.Rows[9].ML, 1e-9)
	l = table(t, "amount;;value;", func(i int) string { return fmt.Sprintf("%d;µL;%.1f;pH", 1000*i, ph(i)) })
	assert.InDelta(t, 9, l.Rows[9].ML, 1e-9)
	l = table(t, "amount;;value;", func(i int) string { return fmt.Sprintf("%d;%s;%.1f;pH", i, []string{"mL", "µL"}[i%2], ph(i)) })
	assert.Equal(t, map[string]string{"ph": "value"}, l.Columns, "two units are none of the column")
}

// Temperatures are taken in °C, °F and K, by their names.
func TestTemperaturesOfLogs(t *testing.T) {
	for name, shown := range map[string]float64{"T (°C)": 25, "T (°F)": 77, "T (K)": 298.15} {
		l := table(t, "mL,pH,"+name, func(i int) string { return fmt.Sprintf("%d,%.1f,%.2f", i, 4+0.5*float64(i), shown) })
		assert.Equal(t, name, l.Columns["temp"])
		assert.InDelta(t, 25, float64(l.Rows[3].Temp), 1e-6, name)
	}
}

// Times are read as dates and times of day, and as the days that a spreadsheet counts; the
// seconds of the log begin with its first row.
func TestTimesOfLogs(t *testing.T) {
	ph := func(i int) string { return fmt.Sprintf("%.1f", 4+0.5*float64(i)) }
	for name, l := range map[string]*Log{
		"date and time of day": table(t, "date,time,mL,pH", func(i int) string { return fmt.Sprintf("2026-11-%02d,23:%02d:00,%d,%s", 2+i/9, 50+i%10, i, ph(i)) }),
		"days since 1900":      table(t, "Time,mL,pH", func(i int) string { return fmt.Sprintf("%.10f,%d,%s", 46000+float64(i)/24/60, i, ph(i)) }),
		"minutes":              table(t, "t (min),mL,pH", func(i int) string { return fmt.Sprintf("%d,%d,%s", i, i, ph(i)) }),
	} {
		assert.InDelta(t, 0, l.Rows[0].T, 1e-6, name)
		assert.InDelta(t, 60, l.Rows[1].T, 0.01, name)
	}
	days := func(format string) *Log {
		return table(t, "date,time,mL,pH", func(i int) string { return fmt.Sprintf(format+",10:%02d:00,%d,%s", 2+i/9, i, i, ph(i)) })
	}
	for format, unsure := range map[string]bool{"2026-11-%02d": false, "%02d/05/2026": true} {
		l := days(format)
		assert.InDelta(t, 86400+9*60, l.Rows[9].T, 1e-6, "the last on the day after, %s", format)
		assert.Equal(t, unsure, strings.Contains(fmt.Sprint(l.Notes), "taken as day first"), format)
	}
	l := table(t, "date,mL,pH", func(i int) string { return fmt.Sprintf("2026-11-02,%d,%s", i, ph(i)) })
	assert.Equal(t, map[string]string{"volume": "mL", "ph": "pH"}, l.Columns, "a date alone is no time")
	l = table(t, "time,mL,pH", func(i int) string { return fmt.Sprintf("%d,%d,%s", 100*i, i, ph(i)) })
	assert.InDelta(t, 100, l.Rows[1].T, 1e-6, "seconds, not days")
}

// Of a column that is not used it is said why not.
func TestColumnsThatAreNotUsed(t *testing.T) {
	l := table(t, "mL,pH,remark,dpH/dV,T (°C),T2 (°C),x,E (mV),E2 (mV)", func(i int) string {
		return fmt.Sprintf("%d,%.1f,good,%.2f,25.0,26.0,%d,%d,%d", i, 4+0.5*float64(i), 0.5, 3*i%7, 200-30*i, 190-30*i)
	})
	why := map[string]string{}
	for _, c := range l.Reading {
		why[c.Name] = c.Why
	}
	assert.Equal(t, "holds no numbers", why["remark"])
	assert.Equal(t, "computed or a set value, by its name", why["dpH/dV"])
	assert.Equal(t, "its name is not one that is used", why["x"])
	assert.Equal(t, "another temperature", why["T2 (°C)"])
}

// Rows without a pH are left out, and counted.
func TestRowsWithoutAPH(t *testing.T) {
	for left, said := range map[int]string{0: "", 2: "2 lines have no pH and are left out"} {
		l := table(t, "mL,pH,T (°C)", func(i int) string {
			if i >= 4 && i < 4+left {
				return fmt.Sprintf("%d,,25.0", i)
			}
			return fmt.Sprintf("%d,%.1f,25.0", i, 4+0.5*float64(i))
		})
		assert.Len(t, l.Rows, 10-left)
		assert.Contains(t, strings.Join(l.Notes, "\n"), said)
		assert.Equal(t, left > 0, strings.Contains(fmt.Sprint(l.Notes), "no pH"))
	}
}
