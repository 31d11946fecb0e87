package foreign

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
func (t *table) begins(cells []string, above [][]string) bool {
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
		if u, ok := saysOf(c); ok && u.quantity != "" {
			says[u.quantity] = true
		}
	}
	least := 1
	if t.sep == ' ' { // words of a remark are cells, too
		least = 2
	}
	return len(says) >= least && 2*len(says) >= named
}

// headRoom is how many lines there may be between the head of another table and its rows.
const headRoom = 3

// below is another table that begins with a line of the file, counted from 0.
func (like table) below(lines []string, from int) *table {
	t := like.cut(lines[from:])
	if t == nil || t.line[0] > headRoom+1 {
		return nil
	}
	for i := range t.line {
		t.line[i] += from
	}
	for i := range t.lost {
		t.lost[i] += from
	}
	for i := range t.others {
		t.others[i].line += from
	}
	return t
}

// beyondRange is how far beyond the numbers of a column one may lie that goes on with it, as
// a share of their range.
const beyondRange = 0.3

// goesOn reports whether a row can be the next of a table: as many numbers, and each where
// those of its column lie. What stood between them was a remark then, or the head once more.
func (t *table) goesOn(row []string) bool {
	for at := range max(t.width(), len(row)) {
		v := t.values(at)
		low, high := span2(v)
		if n, _ := t.filled(at); float64(n) < mostlyFilled*float64(len(v)) || high < low {
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
	return len(row) >= t.width()/2
}

// other is a table that was not read.
type other struct{ line, rows int }

// heavier is the one of two tables with more numbers in it; it remembers the other.
func (t *table) heavier(below *table) *table {
	if below.weight() > t.weight() {
		t, below = below, t
	}
	t.others = append(t.others, other{below.line[0], len(below.rows)})
	return t
}

// tidy leaves out rows that are none: of words where numbers stand elsewhere, and a sum of
// what stands above it.
func (t *table) tidy() {
	var of []int
	for at := range t.width() {
		if n, _ := t.filled(at); float64(n) >= mostlyFilled*float64(len(t.rows)) {
			of = append(of, at)
		}
	}
	if len(of) < 2 || t.turned {
		return
	}
	for i := len(t.rows) - 1; i >= 0 && len(t.rows) > leastRows; i-- {
		words := 0
		for _, at := range of {
			if at < len(t.rows[i]) && strings.TrimSpace(t.rows[i][at]) != "" && !t.holds(t.rows[i][at]) {
				words++
			}
		}
		if 2*words >= len(of) {
			t.lost = append(t.lost, t.line[i])
			t.leave(i)
		}
	}
	for n := len(t.rows) - 1; n >= leastRows && t.named(n, of); n-- { // "Mean", "Maximum": figures of the table
		t.lost = append(t.lost, t.line[n])
		t.leave(n)
	}
	slices.Sort(t.lost)
	for _, at := range of {
		if t.summed(at) {
			last := len(t.rows) - 1
			t.sum = t.line[last]
			t.leave(last)
			return
		}
	}
}

// named reports whether a row has a word where a column holds numbers.
func (t *table) named(i int, of []int) bool {
	return slices.ContainsFunc(of, func(at int) bool {
		return at < len(t.rows[i]) && beginsWithWord.MatchString(t.rows[i][at]) && !t.holds(t.rows[i][at])
	})
}

var beginsWithWord = regexp.MustCompile(`^\W*\p{L}{2,}`)

func (t *table) leave(i int) {
	t.rows, t.line = slices.Delete(slices.Clone(t.rows), i, i+1), slices.Delete(slices.Clone(t.line), i, i+1)
}

// summed reports whether the last row has the sum of a column.
func (t *table) summed(at int) bool {
	v, sum := t.values(at), 0.0
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

// Figures of volumes that are noted where they were given, a choice of this project.
const (
	notedFewest = 4    // volumes
	comesToRest = 0.3  // of a move that may fall into the second half of its rows, as a rule
	atRest      = 0.25 // of the next move of the pH, up to which it rested before the first addition
)

// carry puts the volume of an addition on the readings after it, where it was noted when it
// was given and not when it was read: the pH rests until the second volume, the first being
// none, and moves after the last.
func carry(ml, ph []float64) bool {
	var at []int
	for i, v := range ml {
		if !math.IsNaN(v) && i < len(ph) {
			at = append(at, i)
		}
	}
	n := len(at)
	if n < notedFewest || 2*n >= len(ml) || ml[at[0]] != 0 {
		return false
	}
	to := func(k int) int { // the last row before the next volume
		if k+1 < n {
			return at[k+1] - 1
		}
		return len(ph) - 1
	}
	move := func(k int) float64 { return math.Abs(ph[to(k)] - ph[at[k]]) }
	if !(move(0) < atRest*move(1)) || !(move(n-1) > atRest*move(n-2)) {
		return false
	}
	var late []float64 // of each move, the share of the second half: half of it where titrant runs on
	for k := 1; k < n; k++ {
		if m := move(k); to(k)-at[k] >= 2 && m > 0 {
			late = append(late, math.Abs(ph[to(k)]-ph[(at[k]+to(k)+1)/2])/m)
		}
	}
	if slices.Sort(late); len(late) < notedFewest-1 || late[len(late)/2] > comesToRest {
		return false
	}
	for i := range ml {
		if i > at[0] && math.IsNaN(ml[i]) {
			ml[i] = ml[i-1]
		}
	}
	return true
}
