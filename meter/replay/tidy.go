package replay

import (
	"fmt"
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

// Figures of rows that stand in no order, a choice of this project.
const (
	toAndFro  = 0.2 // of the steps of a volume, at least, in either direction
	wellMoved = 3.0 // times its way that the pH goes in the order of the rows
	straight  = 1.2 // times its way in the order of the volumes, at most
)

// shuffled puts rows in the order of their volumes where they stand in none, and the pH
// goes one way in that order only.
func (r *reader) shuffled() error {
	ml, ok := r.column("volume")
	ph, is := r.column("ph")
	if !ok || !is || r.o.Volume != "" && r.o.Volume != TotalVolume || r.has("time") || r.runs > 1 {
		return nil
	}
	at := make([]int, 0, len(ml))
	up, down, way := 0, 0, 0.0
	for i := range ml {
		if math.IsNaN(ml[i]) || i >= len(ph) || math.IsNaN(ph[i]) {
			return nil
		}
		if i > 0 {
			way += math.Abs(ph[i] - ph[i-1])
			if ml[i] > ml[i-1] {
				up++
			} else if ml[i] < ml[i-1] {
				down++
			}
		}
		at = append(at, i)
	}
	slices.SortStableFunc(at, func(a, b int) int {
		switch {
		case ml[a] < ml[b]:
			return -1
		case ml[a] > ml[b]:
			return 1
		}
		return 0
	})
	sorted := 0.0
	for i := 1; i < len(at); i++ {
		sorted += math.Abs(ph[at[i]] - ph[at[i-1]])
	}
	span, steps := math.Abs(ph[at[len(at)-1]]-ph[at[0]]), toAndFro*float64(len(at))
	if float64(up) < steps || float64(down) < steps || sorted > straight*span || way < wellMoved*span {
		return nil
	}
	rows, lines := make([][]string, len(at)), make([]int, len(at))
	for i, from := range at {
		rows[i], lines[i] = r.t.rows[from], r.t.line[from]
	}
	r.t.rows, r.t.line = rows, lines
	r.notes = append(r.notes, "the rows are in no order: taken in the order of their volumes, in which the pH goes one way")
	return nil
}

// alone leaves the rows in which the titrant was given, where another stands in a column of
// its own and was given before or after it: there and back, with acid and base.
func (r *reader) alone() error {
	at, ok := r.of["volume"]
	if !ok || r.runs > 1 {
		return nil
	}
	v := r.t.values(at)
	low, high := span2(v)
	from, to := 0, len(v)-1
	for i, x := range v {
		if x == low {
			from = i
		}
	}
	for i := len(v) - 1; i >= 0; i-- {
		if v[i] == high {
			to = i
		}
	}
	for b := range r.columns {
		if b == at || r.taken(b) || !r.named[b] || r.says[b].quantity != "volume" || to-from < leastRows {
			continue
		}
		other := r.t.values(b)
		least, most := span2(other)
		within, beyond := span2(other[from : to+1])
		if !(most > least) || within != beyond || from == 0 && to == len(v)-1 {
			continue
		}
		r.notes = append(r.notes, fmt.Sprintf("%d rows in which %q is given, and %q is not, are left out", len(v)-(to-from+1), r.columns[b].Name, r.columns[at].Name))
		r.t.rows, r.t.line = r.t.rows[from:to+1], r.t.line[from:to+1]
		return nil
	}
	return nil
}

// runColumn is the name of a column that says which titration a row is of.
var runColumn = regexp.MustCompile(`(?i)^\W*(run|trial|replicate|rep|titration|series|set|sample|repeat|test)\s*(no\.?|nr\.?|#|number|id)?\W*$`)

// mostRuns is how many titrations a table may hold.
const mostRuns = 30

// marked leaves the rows of one of several titrations whose rows say which they are of.
func (r *reader) marked() (bool, error) {
	for at, c := range r.columns {
		if r.taken(at) || !runColumn.MatchString(c.Name) {
			continue
		}
		var names []string
		of := map[string][]int{}
		for i, row := range r.t.rows {
			name := ""
			if at < len(row) {
				name = strings.TrimSpace(row[at])
			}
			if of[name] == nil {
				names = append(names, name)
			}
			of[name] = append(of[name], i)
		}
		if len(names) < 2 || len(names) > mostRuns || slices.ContainsFunc(names, func(n string) bool { return len(of[n]) < runRows || n == "" }) {
			continue
		}
		r.runs, r.run, r.piled = len(names), max(r.o.Run, 1), true
		if r.run > r.runs {
			return true, fmt.Errorf("replay: there is no run %d: %q names %d", r.run, c.Name, r.runs)
		}
		var rows [][]string
		var lines []int
		for _, i := range of[names[r.run-1]] {
			rows, lines = append(rows, r.t.rows[i]), append(lines, r.t.line[i])
		}
		r.t.rows, r.t.line = rows, lines
		if slices.ContainsFunc(names, func(n string) bool { return of[n][len(of[n])-1]-of[n][0] >= len(of[n]) }) {
			r.marks = c.Name // else they stand one below the other
		}
		r.columns[at].Why = "says which titration a row is of"
		return true, nil
	}
	return false, nil
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
