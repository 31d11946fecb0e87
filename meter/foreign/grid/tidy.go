package grid

import (
	"math"
	"regexp"
	"slices"
	"strings"
)

// What spreadsheets and printouts leave among the rows of a table: heads that come again on
// every page, another table below, sums at the foot, marks of comments before a head.

// Figures of judgement, a choice of this project.
const (
	mostlyFilled = 0.8  // of the rows: a column of numbers
	sumWithin    = 1e-3 // relative, of a foot that is the sum of what stands above it
	summedRows   = 6    // above a sum, at least
)

// commentMark begins a line that is a remark to the program that wrote it.
var commentMark = regexp.MustCompile(`^\s*(#+|%+|//|!+|\*+)\s*`)

// unmarked is a head without the mark of a comment before its first name, which may stand
// in a cell of its own.
func unmarked(cells []string) []string {
	if len(cells) < 2 || !commentMark.MatchString(cells[0]) {
		return cells
	}
	if rest := commentMark.ReplaceAllString(cells[0], ""); rest != "" {
		return append([]string{rest}, cells[1:]...)
	}
	return cells[1:]
}

// begins reports whether a line is the head of another table: most of its cells name
// quantities, and it does not stand above this one already.
func (t *Table) begins(cells []string, above [][]string) bool {
	cells = unmarked(cells)
	if !t.heads(cells) || slices.ContainsFunc(above, func(h []string) bool { return slices.Equal(unmarked(h), cells) }) {
		return false
	}
	named, says := 0, map[string]bool{}
	for _, c := range cells {
		if strings.TrimSpace(c) == "" {
			continue
		}
		named++
		if u, ok := Says(c); ok && u.Quantity != "" {
			says[u.Quantity] = true
		}
	}
	least := 1
	if t.Sep == ' ' { // words of a remark are cells, too
		least = 2
	}
	return len(says) >= least && 2*len(says) >= named
}

// headRoom, a choice of this project, is how many lines there may be between the head of another table and its rows.
const headRoom = 2

// below is another table that begins with a line of the file, counted from 0.
func (like Table) below(lines []string, from int) *Table {
	t := like.cut(lines[from:])
	if t == nil || t.Line[0] > headRoom+2 {
		return nil
	}
	for i := range t.Line {
		t.Line[i] += from
	}
	for i := range t.Lost {
		t.Lost[i] += from
	}
	for i := range t.Others {
		t.Others[i].Line += from
	}
	return t
}

// beyondRange is how far beyond the numbers of a column one may lie that goes on with it, as
// a share of their range.
const beyondRange = 0.3

// goesOn reports whether a row can be the next of a table: as many numbers, and each where
// those of its column lie. What stood between them was a remark then, or the head once more.
func (t *Table) goesOn(row []string) bool {
	for at := range max(t.Width(), len(row)) {
		v := t.Values(at)
		low, high := Span(v)
		if n, _ := t.Filled(at); float64(n) < mostlyFilled*float64(len(v)) || high < low {
			continue
		}
		if at >= len(row) {
			return false
		}
		x, ok := t.number(row[at])
		if !ok || x < low-beyondRange*(high-low) || x > high+beyondRange*(high-low) {
			return false
		}
	}
	return len(row) >= t.Width()/2
}

// Other is a table that was not read.
type Other struct{ Line, Rows int }

// heavier is the one of two tables with more numbers in it; it remembers the other.
func (t *Table) heavier(below *Table) *Table {
	if below.weight() > t.weight() {
		t, below = below, t
	}
	t.Others = append(t.Others, Other{below.Line[0], len(below.Rows)})
	return t
}

// tidy leaves out rows that are none: of words where numbers stand elsewhere, and a sum of
// what stands above it.
func (t *Table) tidy() {
	var of []int
	for at := range t.Width() {
		if n, _ := t.Filled(at); float64(n) >= mostlyFilled*float64(len(t.Rows)) {
			of = append(of, at)
		}
	}
	if len(of) < 2 || t.Turned {
		return
	}
	var left [][]string
	for i := len(t.Rows) - 1; i >= 0 && len(t.Rows) > LeastRows; i-- {
		words := 0
		for _, at := range of {
			if at < len(t.Rows[i]) && strings.TrimSpace(t.Rows[i][at]) != "" && !t.holds(t.Rows[i][at]) {
				words++
			}
		}
		if 2*words >= len(of) {
			t.Lost, left = append(t.Lost, t.Line[i]), append(left, t.Rows[i])
			t.leave(i)
		}
	}
	for n := len(left) - 1; n >= 0 && t.Lost[len(t.Lost)-1] < t.Line[0]; n-- { // "25 ml sample, NaOH 0.1 mol/l" stands above the table
		t.Facts, t.Lost = append(t.Facts, strings.Join(strings.Fields(strings.Join(left[n], " ")), " ")), t.Lost[:len(t.Lost)-1]
	}
	for n := len(t.Rows) - 1; n >= LeastRows && t.named(n, of); n-- { // "Mean", "Maximum": figures of the table
		t.Lost = append(t.Lost, t.Line[n])
		t.leave(n)
	}
	slices.Sort(t.Lost)
	if last := len(t.Rows) - 1; slices.ContainsFunc(of, t.summed) {
		t.Sum = t.Line[last]
		t.leave(last)
	}
}

// named reports whether a row has a word where a column holds numbers.
func (t *Table) named(i int, of []int) bool {
	return slices.ContainsFunc(of, func(at int) bool {
		return at < len(t.Rows[i]) && beginsWithWord.MatchString(t.Rows[i][at]) && !t.holds(t.Rows[i][at])
	})
}

var beginsWithWord = regexp.MustCompile(`^\W*\p{L}{2,}`)

func (t *Table) leave(i int) {
	t.Rows, t.Line = slices.Delete(slices.Clone(t.Rows), i, i+1), slices.Delete(slices.Clone(t.Line), i, i+1)
}

// summed reports whether the last row has the sum of a column.
func (t *Table) summed(at int) bool {
	v, sum := t.Values(at), 0.0
	n := len(v) - 1
	if n < summedRows || math.IsNaN(v[n]) || t.counts(at) {
		return false
	}
	for _, x := range v[:n] {
		if math.IsNaN(x) || x < 0 {
			return false
		}
		sum += x
	}
	return sum > 2*slices.Max(v[:n]) && math.Abs(v[n]-sum) <= sumWithin*sum
}
