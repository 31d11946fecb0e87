package grid_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/foreign/grid"
)

// Lines with the name beside each value are a table whose head stands in every row.
func TestUnkeyed(t *testing.T) {
	for _, c := range []struct{ line, head, row string }{
		{"V=0.50 mL; pH=3.21; T=21.5C", "V (mL)\tpH\tT (C)", "0.50\t3.21\t21.5"},
		{`{"ml":0.5,"ph":3.21,"t":30}`, "ml\tph\tt", "0.5\t3.21\t30"},
		{"10:03:22.123 -> pH: 3.21 V: 0.50", "time\tpH\tV", "10:03:22.123\t3.21\t0.50"},
		{"pH = 3,21   E = −120,5 mV   Vol : 0,5 ml", "pH\tE (mV)\tVol (ml)", "3,21\t-120,5\t0,5"},
		{"time: 10:03, ph: 3.21", "time\tph", "10:03\t3.21"},
	} {
		lines := []string{c.line, c.line, c.line}
		got, later, ok := grid.Unkeyed(lines)
		assert.True(t, ok && later, c.line)
		assert.Equal(t, []string{c.head, c.row, c.row, c.row}, got, c.line)
		got, later, ok = grid.Unkeyed(append([]string{"Sample: 25 mL", ""}, lines...))
		assert.True(t, ok && !later, c.line)
		assert.Equal(t, []string{"Sample: 25 mL", c.head, c.row, c.row, c.row}, got, c.line)
	}
	for _, no := range []string{"mL,pH|0,3|1,3.1|2,3.2", "Sample: 25 mL|Titrant: 0.1 M|n: 3|mL,pH|0,3|1,3.1", "a=1 b=2|a=1 b=2", "a=1 b=2|c=1 d=2|e=1 f=2", "10:01:00 3.2|10:02:00 3.3|10:03:00 3.4"} {
		_, _, ok := grid.Unkeyed(strings.Split(no, "|"))
		assert.False(t, ok, no)
	}
}

// Three lines of five with the same names are a table, three of six are lines that happen to.
func TestMostlyKeyed(t *testing.T) {
	lines := strings.Split("V=0 pH=3|V=1 pH=4|V=2 pH=5|a bubble|rinsed", "|")
	_, _, ok := grid.Unkeyed(lines)
	assert.True(t, ok)
	_, _, ok = grid.Unkeyed(append(lines, "end"))
	assert.False(t, ok)
}

func TestWhatIsNoText(t *testing.T) {
	for first, want := range map[string]string{"PK\x03\x04\x14": "workbook", "%PDF-1.7": "PDF", "<!DOCTYPE html>": "markup", "<Table>": "markup", "mL,pH": "", "": ""} {
		got := grid.Foreign([]string{first})
		assert.Equal(t, want == "", got == "", first)
		assert.Contains(t, got, want, first)
	}
	assert.Empty(t, grid.Foreign(nil))
}
