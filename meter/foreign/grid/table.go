package grid

import (
	"encoding/csv"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Table is a block of rows of numbers in a text file.
type Table struct {
	Sep      rune // between columns
	comma    bool // decimal commas
	groups   bool // thousands are set off
	Turned   bool // it lay on its side: a quantity a line
	Joined   bool // decimal commas between commas were put together
	Numbered bool // the first column has no name, and counts the rows
	Header   []string
	Rows     [][]string
	Line     []int    // of each row in the file, from 1
	Lost     []int    // lines within the table that hold numbers and are no row
	Sum      int      // the line of a last row that sums up the others; 0 for none
	Others   []Other  // tables of the same file that were left out
	Facts    []string // lines above the table that name something
}

// LeastRows is how many rows of numbers in a row make a table.
const LeastRows = 3

// Find finds the separator that makes the longest table.
func Find(lines []string) (*Table, bool) {
	var best *Table
	for _, sep := range []rune{'\t', ';', ',', '|', ' '} { // decimal commas between commas stand in quotes
		for _, comma := range []bool{false, true} {
			like := Table{Sep: sep, comma: comma, groups: thousands(lines, sep, comma)}
			for _, t := range []*Table{like.cut(lines), like.turn(lines)} {
				if t != nil && (best == nil || t.weight() > best.weight()) {
					best = t
				}
			}
		}
	}
	if best != nil {
		best.mend()
	}
	return best, best != nil
}

// weight is how many cells hold numbers; a table that lay on its side has names
// for them, and goes before one that has none.
func (t *Table) weight() int {
	n := 0
	for _, r := range t.Rows {
		n += t.numbers(r)
	}
	if t.Turned {
		n++
	}
	return n
}

// holds reports whether a cell holds a number or a time.
func (t *Table) holds(cell string) bool {
	_, ok := t.number(cell)
	return ok || isMoment(cell)
}

// numbers is how many cells hold one, or a time.
func (t *Table) numbers(cells []string) (n int) {
	for _, c := range cells {
		if t.holds(c) {
			n++
		}
	}
	return n
}

// cut splits the lines, and takes as the table what begins with rows of two
// numbers or more; what stands above are header and facts.
func (like Table) cut(lines []string) *Table {
	t, sep := &like, like.Sep
	var above [][]string
	run := 0
	for i, text := range lines {
		cells := split(text, sep)
		numbers := t.numbers(cells)
		switch {
		case numbers >= 2 && !(sep == ' ' && t.prose(cells, numbers)):
			t.Rows, t.Line = append(t.Rows, cells), append(t.Line, i+1)
			run++
		case run >= LeastRows && t.begins(cells, above):
			if below := like.below(lines, i); below != nil && !t.goesOn(below.Rows[0]) {
				return t.close(above).heavier(below)
			}
		case run >= LeastRows || strings.Trim(text, " \t|:-=+") == "":
			if t.unread(cells) { // else a remark, a rule or an empty line within the table
				t.Lost = append(t.Lost, i+1)
			}
		default:
			above = append(above, t.Rows...)
			t.Rows, t.Line, t.Lost, run = nil, nil, nil, 0
			above = append(above, cells)
		}
	}
	if run < LeastRows {
		return nil
	}
	return t.close(above)
}

// close ends a table: its rows, and what stands above them.
func (t *Table) close(above [][]string) *Table {
	t.shed(&above)
	n := len(t.Facts)
	t.tidy()
	nearest := slices.Clone(t.Facts[n:])
	t.Facts = t.Facts[:n]
	t.name(above)
	t.Facts = append(t.Facts, nearest...)
	return t
}

// prose reports whether cells set off by blanks are words with some numbers among them.
func (t *Table) prose(cells []string, numbers int) bool {
	return 3*numbers < len(cells) && !t.holds(cells[0]) && !t.holds(cells[1])
}

// shed gives rows at the top that are much shorter than most of the table to what
// stands above it: "Date 2024-03-01 14:00" is no row of one with six columns.
func (t *Table) shed(above *[][]string) {
	var widths []int
	for _, r := range t.Rows {
		widths = append(widths, len(r))
	}
	slices.Sort(widths)
	wide := widths[len(widths)/2] // a remark makes a single row long
	for len(t.Rows) > LeastRows && wide > 3 && 2*len(t.Rows[0]) <= wide {
		*above = append(*above, t.Rows[0])
		t.Rows, t.Line = t.Rows[1:], t.Line[1:]
	}
}

// leastSide is how many numbers a line of a table on its side has at least.
const leastSide = 5

// turn reads a table on its side: a quantity a line, its name first.
func (like Table) turn(lines []string) *Table {
	t, sep := &like, like.Sep
	t.Turned = true
	var long [][]string
	var at []int
	speaks := false
	for i, text := range lines {
		cells := split(text, sep)
		for len(cells) > 0 && strings.TrimSpace(cells[len(cells)-1]) == "" {
			cells = cells[:len(cells)-1]
		}
		first := 0
		for first < len(cells) && !t.holds(cells[first]) {
			first++
		}
		numbers := t.numbers(cells[first:])
		name := strings.TrimSpace(strings.Join(cells[:first], " "))
		if numbers < leastSide || name == "" {
			if len(long) == 0 && strings.TrimSpace(text) != "" {
				t.Facts = append(t.Facts, strings.Join(strings.Fields(strings.Join(cells, " ")), " "))
			}
			continue
		}
		u, ok := Says(name)
		speaks = speaks || ok && (u.Quantity == "ph" || u.Quantity == "mv")
		t.Header = append(t.Header, name)
		long, at = append(long, cells[first:]), append(at, i+1)
	}
	if len(long) < 2 || !speaks || len(long) > len(long[0]) {
		return nil
	}
	for k := range long[0] {
		row := make([]string, len(long))
		for j := range long {
			if k < len(long[j]) {
				row[j] = long[j][k]
			}
		}
		t.Rows, t.Line = append(t.Rows, row), append(t.Line, at[0])
	}
	return t
}

func split(text string, sep rune) []string {
	switch sep {
	case ' ':
		return strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' }) // one that does not break sets off thousands
	case '|':
		return strings.Split(strings.Trim(strings.TrimSpace(text), "|"), "|")
	}
	if !strings.Contains(text, `"`) { // as most lines, without a reader of their own
		if text = strings.TrimSuffix(text, "\r"); text == "" {
			return nil
		}
		cells := strings.Split(text, string(sep))
		for i := range cells {
			if sep != '\t' {
				cells[i] = strings.TrimLeftFunc(cells[i], unicode.IsSpace)
			}
		}
		return cells
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.LazyQuotes, r.FieldsPerRecord, r.TrimLeadingSpace = sep, true, -1, true
	if sep == '\t' {
		r.TrimLeadingSpace = false
	}
	cells, err := r.Read()
	if err != nil {
		return nil
	}
	return cells
}

// CellUnit is the unit that stands in the cells of a column.
func (t *Table) CellUnit(at int) (string, bool) {
	for _, r := range t.Rows {
		if at >= len(r) || strings.TrimSpace(r[at]) == "" {
			continue
		}
		if m := trailing.FindStringSubmatch(strings.TrimSpace(r[at])); m != nil {
			return m[2], true
		}
		return "", false
	}
	return "", false
}

func (t *Table) Width() int {
	w := 0
	for _, r := range t.Rows {
		w = max(w, len(r))
	}
	return w
}

// Label names a column for a person.
func (t *Table) Label(at int) string {
	if at < len(t.Header) && strings.TrimSpace(t.Header[at]) != "" {
		return strings.TrimSpace(t.Header[at])
	}
	return "column " + strconv.Itoa(at+1)
}

// Filled is how many cells of a column hold something that can be counted.
func (t *Table) Filled(at int) (n, moments int) {
	for _, r := range t.Rows {
		if at >= len(r) {
			continue
		}
		if _, ok := t.number(r[at]); ok {
			n++
		} else if isMoment(r[at]) {
			n++
			moments++
		}
	}
	return n, moments
}

// Values are the numbers of a column; what is none is NaN.
func (t *Table) Values(at int) []float64 {
	out := make([]float64, len(t.Rows))
	for i, r := range t.Rows {
		out[i] = math.NaN()
		if at < len(r) {
			if v, ok := t.number(r[at]); ok {
				out[i] = v
			}
		}
	}
	return out
}
