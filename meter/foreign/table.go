package foreign

import (
	"encoding/csv"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// table is a block of rows of numbers in a text file.
type table struct {
	sep      rune
	comma    bool // decimal commas
	groups   bool // thousands are set off
	turned   bool // it lay on its side: a quantity a line
	joined   bool // decimal commas between commas were put together
	numbered bool // the first column has no name, and counts the rows
	header   []string
	rows     [][]string
	line     []int // of each row in the file
	lost     []int // lines within the table that hold numbers and are no row
	sum      int   // the line of a last row that sums up the others; 0 for none
	others   []other
	facts    []string
}

// leastRows is how many rows of numbers in a row make a table.
const leastRows = 3

// findTable finds the separator that makes the longest table.
func findTable(lines []string) (*table, bool) {
	var best *table
	for _, sep := range []rune{'\t', ';', ',', '|', ' '} { // decimal commas between commas stand in quotes
		for _, comma := range []bool{false, true} {
			like := table{sep: sep, comma: comma, groups: thousands(lines, sep, comma)}
			for _, t := range []*table{like.cut(lines), like.turn(lines)} {
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
func (t *table) weight() int {
	n := 0
	for _, r := range t.rows {
		for _, c := range r {
			if t.holds(c) {
				n++
			}
		}
	}
	if t.turned {
		n++
	}
	return n
}

// holds reports whether a cell holds a number or a time.
func (t *table) holds(cell string) bool {
	_, ok := t.number(cell)
	return ok || isMoment(cell)
}

// cut splits the lines, and takes as the table what begins with rows of two
// numbers or more; what stands above are header and facts.
func (like table) cut(lines []string) *table {
	t, sep := &like, like.sep
	var above [][]string
	run := 0
	for i, text := range lines {
		cells := split(text, sep)
		numbers := 0
		for _, c := range cells {
			if t.holds(c) {
				numbers++
			}
		}
		switch {
		case numbers >= 2 && !(sep == ' ' && t.prose(cells, numbers)):
			t.rows, t.line = append(t.rows, cells), append(t.line, i+1)
			run++
		case run >= leastRows && t.begins(cells, above):
			if below := like.below(lines, i); below != nil && !t.goesOn(below.rows[0]) {
				return t.close(above).heavier(below)
			}
		case run >= leastRows || strings.Trim(text, " \t|:-=+") == "":
			if t.unread(cells) { // else a remark, a rule or an empty line within the table
				t.lost = append(t.lost, i+1)
			}
		default:
			above = append(above, t.rows...)
			t.rows, t.line, t.lost, run = nil, nil, nil, 0
			above = append(above, cells)
		}
	}
	if run < leastRows {
		return nil
	}
	return t.close(above)
}

// close ends a table: its rows, and what stands above them.
func (t *table) close(above [][]string) *table {
	t.shed(&above)
	t.tidy()
	t.name(above)
	return t
}

// prose reports whether cells set off by blanks are words with some numbers among them.
func (t *table) prose(cells []string, numbers int) bool {
	return 3*numbers < len(cells) && !t.holds(cells[0]) && !t.holds(cells[1])
}

// shed gives rows at the top that are much shorter than most of the table to what
// stands above it: "Date 2024-03-01 14:00" is no row of one with six columns.
func (t *table) shed(above *[][]string) {
	var widths []int
	for _, r := range t.rows {
		widths = append(widths, len(r))
	}
	slices.Sort(widths)
	wide := widths[len(widths)/2] // a remark makes a single row long
	for len(t.rows) > leastRows && wide > 3 && 2*len(t.rows[0]) <= wide {
		*above = append(*above, t.rows[0])
		t.rows, t.line = t.rows[1:], t.line[1:]
	}
}

// leastSide is how many numbers a line of a table on its side has at least.
const leastSide = 5

// turn reads a table on its side: a quantity a line, its name first.
func (like table) turn(lines []string) *table {
	t, sep := &like, like.sep
	t.turned = true
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
		numbers := 0
		for _, c := range cells[min(first, len(cells)):] {
			if t.holds(c) {
				numbers++
			}
		}
		name := strings.TrimSpace(strings.Join(cells[:min(first, len(cells))], " "))
		if numbers < leastSide || name == "" {
			if len(long) == 0 && strings.TrimSpace(text) != "" {
				t.facts = append(t.facts, strings.Join(strings.Fields(strings.Join(cells, " ")), " "))
			}
			continue
		}
		u, ok := saysOf(name)
		speaks = speaks || ok && (u.quantity == "ph" || u.quantity == "mv")
		t.header = append(t.header, name)
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
		t.rows, t.line = append(t.rows, row), append(t.line, at[0])
	}
	return t
}

// name takes the last line above the table as its header when it names columns,
// or the last two when the second has the units.
func (t *table) name(above [][]string) {
	last := func(back int) []string {
		if n := len(above) - back; n >= 0 && n < len(above) {
			return above[n]
		}
		return nil
	}
	switch {
	case t.unitRow(last(1)) && t.heads(last(2)):
		t.header = slices.Clone(unmarked(last(2)))
		for i, u := range unmarked(last(1)) {
			if u = strings.Trim(strings.TrimSpace(u), "[]()"); i < len(t.header) && u != "" && u != "-" {
				t.header[i] = strings.TrimSpace(t.header[i]) + " (" + u + ")"
			}
		}
		above = above[:len(above)-2]
	case t.heads(last(1)):
		t.header = unmarked(last(1))
		above = above[:len(above)-1]
	}
	for _, cells := range above {
		if text := strings.Join(strings.Fields(strings.Join(cells, " ")), " "); text != "" {
			t.facts = append(t.facts, text)
		}
	}
}

// formOfTime is the form of times of day and dates, as a unit.
var formOfTime = regexp.MustCompile(`(?i)^(hh?:mm?(:ss?)?|mm?:ss?|(dd?|mm?|yyyy|yy|tt|jjjj)[./-](dd?|mm?|tt)([./-](yyyy|yy|dd?|jjjj))?)([ t]hh?:mm?(:ss?)?)?(\.\w+)?$`)

// unitRow reports whether a line holds units, and nothing else.
func (t *table) unitRow(cells []string) bool {
	n := 0
	for _, c := range cells {
		c = strings.Trim(strings.TrimSpace(c), "[]()")
		if c == "" || c == "-" {
			continue
		}
		if _, ok := unitOf(c); !ok && !strings.EqualFold(c, "pH") && !formOfTime.MatchString(c) {
			return false
		}
		n++
	}
	return n > 0
}

// stated is a value with its name: "n = 37", "Total volume: 27 mL".
var stated = regexp.MustCompile(`[:=]\s*[-+−]?\d+([.,]\d+)?\s*(\p{L}+)?\s*$`)

// heads reports whether a line names columns: two or more are named, or one in a
// line with as many cells as the table, and none holds a number.
func (t *table) heads(cells []string) bool {
	named := 0
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			named++
		}
		if _, ok := t.number(c); ok || stated.MatchString(c) {
			return false
		}
	}
	return named >= 2 || named == 1 && len(cells) == t.width()
}

func split(text string, sep rune) []string {
	switch sep {
	case ' ':
		return strings.Fields(text)
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

// cellUnit is the unit that stands in the cells of a column.
func (t *table) cellUnit(at int) (string, bool) {
	for _, r := range t.rows {
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

func (t *table) width() int {
	w := 0
	for _, r := range t.rows {
		w = max(w, len(r))
	}
	return w
}

// label names a column for a person.
func (t *table) label(at int) string {
	if at < len(t.header) && strings.TrimSpace(t.header[at]) != "" {
		return strings.TrimSpace(t.header[at])
	}
	return "column " + strconv.Itoa(at+1)
}

// filled is how many cells of a column hold something that can be counted.
func (t *table) filled(at int) (n, moments int) {
	for _, r := range t.rows {
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

// values are the numbers of a column; what is none is NaN.
func (t *table) values(at int) []float64 {
	out := make([]float64, len(t.rows))
	for i, r := range t.rows {
		out[i] = math.NaN()
		if at < len(r) {
			if v, ok := t.number(r[at]); ok {
				out[i] = v
			}
		}
	}
	return out
}
