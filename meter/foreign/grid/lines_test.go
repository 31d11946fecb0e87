package grid_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/foreign/grid"
)

// lines are a file as it is read.
func lines(t *testing.T, text string) []string {
	t.Helper()
	out, err := grid.ReadLines(strings.NewReader(text))
	require.NoError(t, err)
	return out
}

// found is the table of a text, which must have one.
func found(t *testing.T, text string) *grid.Table {
	t.Helper()
	tab, ok := grid.Find(lines(t, text))
	require.True(t, ok, "a table in:\n%s", text)
	return tab
}

// wide is a text in UTF-16 with its byte order mark (RFC 2781, section 3.2).
func wide(text string, order binary.AppendByteOrder) string {
	out := order.AppendUint16(nil, 0xfeff)
	for _, u := range utf16.Encode([]rune(text)) {
		out = order.AppendUint16(out, u)
	}
	return string(out)
}

// The same three lines in the alphabets and line ends in which instruments and spreadsheets
// write them.
func TestLinesInEveryAlphabet(t *testing.T) {
	want := []string{"V / µL", "25 °C", "7.00"}
	text := strings.Join(want, "\n")
	latin := bytes.ReplaceAll(bytes.ReplaceAll([]byte(text), []byte("µ"), []byte{0xb5}), []byte("°"), []byte{0xb0}) // ISO/IEC 8859-1: B5 and B0
	for name, file := range map[string]string{
		"UTF-8": text, "with a mark": "\ufeff" + text, "CR LF": strings.ReplaceAll(text, "\n", "\r\n"), "CR alone": strings.ReplaceAll(text, "\n", "\r"),
		"UTF-16 little": wide(text, binary.LittleEndian), "UTF-16 big": wide(text, binary.BigEndian), "Latin-1": string(latin),
	} {
		assert.Equal(t, want, lines(t, file), name)
	}
}

// A cell in quotes may run over a second and a third line, and no further: an inch sign that
// was never closed must not swallow the file (choice). The numbers of the lines stay.
func TestQuotedCellsOverLines(t *testing.T) {
	assert.Equal(t, []string{`"sample A" pH`, "", "7.0"}, lines(t, "\"sample\nA\" pH\n7.0"))
	assert.Equal(t, []string{`"a b c",1`, "", "", "7.0"}, lines(t, "\"a\nb\nc\",1\n7.0"))
	open := "pipette 5\"\nb\nc\nd\" 1\n7.0"
	assert.Equal(t, strings.Split(open, "\n"), lines(t, open))
}

// One blank, comma or bar more or less changes nothing of a table; the separator is the one
// that makes most of it.
func TestSeparators(t *testing.T) {
	for name, sep := range map[string]string{"tab": "\t", "semicolon": ";", "comma": ",", "bar": " | ", "blanks": "   "} {
		tab := found(t, strings.Join([]string{"V" + sep + "pH", "0.0" + sep + "4.10", "0.5" + sep + "4.50", "1.0" + sep + "5.00"}, "\n"))
		assert.Equal(t, 2, tab.Width(), name)
		assert.Equal(t, []float64{0, 0.5, 1}, tab.Values(0), name)
		assert.Equal(t, []float64{4.1, 4.5, 5}, tab.Values(1), name)
		assert.Equal(t, "pH", tab.Label(1), name)
		assert.Equal(t, []int{2, 3, 4}, tab.Line, name)
	}
	tab := found(t, "V;pH\n0,0;4,10\n0,5;4,50\n1,0;5,00") // decimal commas
	assert.Equal(t, []float64{4.1, 4.5, 5}, tab.Values(1))
}

// Three rows are a table, two are not: two numbers in two lines stand in any letter (choice).
func TestLeastTable(t *testing.T) {
	_, ok := grid.Find([]string{"V,pH", "0,4.1", "1,4.5"})
	assert.False(t, ok)
	_, ok = grid.Find([]string{"V,pH", "0,4.1", "1,4.5", "2,4.8"})
	assert.True(t, ok)
}

// A table on its side needs five numbers in a line, fewer are a list of facts; and it names
// pH or mV (choice). It is turned upright.
func TestTurnedTable(t *testing.T) {
	row := func(name string, n int, step float64) string {
		for i := range n {
			name += fmt.Sprintf(",%.2f", 4+step*float64(i))
		}
		return name
	}
	tab := found(t, "a titration\n"+row("V/mL", 5, 0.5)+"\n"+row("pH", 5, 0.3))
	assert.True(t, tab.Turned)
	assert.Equal(t, []string{"V/mL", "pH"}, tab.Header)
	assert.InDeltaSlice(t, []float64{4, 4.3, 4.6, 4.9, 5.2}, tab.Values(1), 1e-9)
	assert.Equal(t, []string{"a titration"}, tab.Facts)
	tab = found(t, row("t/s", 5, 7)+"\n"+row("V/mL", 5, 0.5)+"\n"+row("pH", 5, 0.3))
	assert.True(t, tab.Turned, "three lines are a table upright too, but one without names")
	_, ok := grid.Find([]string{row("V/mL", 4, 0.5), row("pH", 4, 0.3)})
	assert.False(t, ok)
	_, ok = grid.Find([]string{row("V/mL", 6, 0.5), row("flow", 6, 0.3)})
	assert.False(t, ok)
}
