package foreign

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"example.org/halfdrop/meter/phrase"
)

// How a log was read is shown beside what it says, so that nobody takes the
// reading of a table for granted.

// cellWidth is the widest a cell is shown, columns shown at most shownColumns.
const (
	cellWidth    = 16
	shownColumns = 8
)

// How is the first rows of the table under their columns, with what each was taken
// for: header, uses and rows, in columns of the same number.
func (l *Log) How() (header, uses []string, rows [][]string) {
	for _, c := range l.Reading {
		header = append(header, c.Name)
		use := "not used"
		if c.Use != "" {
			use = Spoken(c.Use)
		}
		if c.Use == "volume" {
			use = "volume"
		}
		uses = append(uses, use)
	}
	for _, r := range l.Head {
		row := make([]string, len(l.Reading))
		copy(row, r)
		rows = append(rows, row)
	}
	return header, uses, rows
}

// writeHow prints the first rows under their columns.
func (l *Log) writeHow(b *bufio.Writer) {
	side := ""
	if l.Turned {
		side = "; transposed"
	}
	fmt.Fprintf(b, "how it was read, columns separated by %s%s:\n", l.SetOff, side)
	header, uses, rows := l.How()
	show := l.shown()
	width := map[int]int{}
	for _, at := range show {
		for _, row := range append([][]string{header, uses}, rows...) {
			width[at] = max(width[at], len([]rune(clipped(row[at]))))
		}
	}
	line := func(first string, cells []string) {
		var s strings.Builder
		fmt.Fprintf(&s, "  %6s", first)
		for _, at := range show {
			text := clipped(cells[at])
			s.WriteString("  " + text + strings.Repeat(" ", width[at]-len([]rune(text))))
		}
		fmt.Fprintln(b, strings.TrimRight(s.String(), " "))
	}
	line("line", header)
	line("", uses)
	for i, r := range rows {
		line(fmt.Sprint(l.HeadAt[i]), r)
	}
	if n := len(header) - len(show); n > 0 {
		fmt.Fprintf(b, "  and %d more columns that are not used\n", n)
	}
}

// shown are the columns that there is room for, those used before the others.
func (l *Log) shown() []int {
	keep := map[int]bool{}
	for _, used := range []bool{true, false} {
		for at, c := range l.Reading {
			if (c.Use != "") == used && len(keep) < shownColumns {
				keep[at] = true
			}
		}
	}
	var out []int
	for at := range l.Reading {
		if keep[at] {
			out = append(out, at)
		}
	}
	return out
}

func clipped(text string) string { return phrase.Clip(strings.TrimSpace(text), cellWidth) }

// WriteHow prints how the table was read, for a question about it.
func (l *Log) WriteHow(w io.Writer) error {
	b := bufio.NewWriter(w)
	l.writeHow(b)
	return b.Flush()
}
