package foreign

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"example.org/halfdrop/meter/foreign/grid"
	"example.org/halfdrop/meter/phrase"
)

// Rows that are not one titration in its order: shuffled ones, those of two bottles, and
// those of several titrations that say which they are of.

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
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(ml[a], ml[b]) })
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
		rows[i], lines[i] = r.t.Rows[from], r.t.Line[from]
	}
	r.t.Rows, r.t.Line = rows, lines
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
	v := r.t.Values(at)
	low, high := grid.Span(v)
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
		if b == at || r.taken(b) || !r.named[b] || r.says[b].Quantity != "volume" || to-from < grid.LeastRows {
			continue
		}
		other := r.t.Values(b)
		least, most := grid.Span(other)
		within, beyond := grid.Span(other[from : to+1])
		if !(most > least) || within != beyond || from == 0 && to == len(v)-1 {
			continue
		}
		r.notes = append(r.notes, fmt.Sprintf("%d rows in which %q is given, and %q is not, are left out", len(v)-(to-from+1), r.columns[b].Name, r.columns[at].Name))
		r.t.Rows, r.t.Line = r.t.Rows[from:to+1], r.t.Line[from:to+1]
		return nil
	}
	return nil
}

// runColumn is the name of a column that says which titration a row is of.
var runColumn = regexp.MustCompile(`(?i)^\W*(run|trial|replicate|rep|titration|series|set|sample|repeat|test)\s*(no\.?|nr\.?|#|number|id)?\W*$`)

// mostRuns is how many titrations a table may hold.
const mostRuns = 30

// overlap reports whether groups of rows are titrations of their own, and not parts of one: the
// volumes of each begin again.
func (r *reader) overlap(of map[string][]int) bool {
	v, ok := r.column("volume")
	if !ok {
		return false
	}
	high, most := math.Inf(-1), math.Inf(1) // of the lower ends, and of the upper ones
	for _, rows := range of {
		low, up := grid.Span(phrase.Each(rows, func(i int) float64 { return v[i] }))
		high, most = math.Max(high, low), math.Min(most, up)
	}
	return high < most
}

// marked leaves the rows of one of several titrations whose rows say which they are of.
func (r *reader) marked() (bool, error) {
	for at, c := range r.columns {
		if r.taken(at) || !runColumn.MatchString(c.Name) {
			continue
		}
		var names []string
		of := map[string][]int{}
		for i, row := range r.t.Rows {
			name := ""
			if at < len(row) {
				name = strings.TrimSpace(row[at])
			}
			if of[name] == nil {
				names = append(names, name)
			}
			of[name] = append(of[name], i)
		}
		if len(names) < 2 || len(names) > mostRuns || !r.overlap(of) || slices.ContainsFunc(names, func(n string) bool { return len(of[n]) < runRows || n == "" }) {
			continue
		}
		r.piled = true
		if err := r.runOf(len(names), fmt.Sprintf("%q names %d", c.Name, len(names))); err != nil {
			return true, err
		}
		var rows [][]string
		var lines []int
		for _, i := range of[names[r.run-1]] {
			rows, lines = append(rows, r.t.Rows[i]), append(lines, r.t.Line[i])
		}
		r.t.Rows, r.t.Line = rows, lines
		if slices.ContainsFunc(names, func(n string) bool { return of[n][len(of[n])-1]-of[n][0] >= len(of[n]) }) {
			r.marks = c.Name // else they stand one below the other
		}
		r.columns[at].Why = "says which titration a row is of"
		return true, nil
	}
	return false, nil
}
