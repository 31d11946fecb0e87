package replay

import (
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"time"
)

// table is a block of rows of numbers in a text file.
type table struct {
	sep    rune
	comma  bool // decimal commas
	header []string
	rows   [][]string
	line   []int
	facts  []string
	day    float64 // s, what a time of day last was, for midnight
}

// leastRows is how many rows of numbers in a row make a table.
const leastRows = 3

// findTable finds the separator that makes the longest table.
func findTable(lines []string) (*table, bool) {
	var best *table
	for _, sep := range []rune{'\t', ';', ',', ' '} {
		for _, comma := range []bool{false, true} {
			if comma && sep == ',' {
				continue
			}
			t := cut(lines, sep, comma)
			if t != nil && (best == nil || t.weight() > best.weight()) {
				best = t
			}
		}
	}
	return best, best != nil
}

// weight is how many cells hold numbers.
func (t *table) weight() int {
	n := 0
	for _, r := range t.rows {
		for _, c := range r {
			if _, ok := t.number(c); ok || clockTime(c) {
				n++
			}
		}
	}
	return n
}

// cut splits the lines, and takes as the table what begins with rows of two
// numbers or more; what stands above are header and facts.
func cut(lines []string, sep rune, comma bool) *table {
	t := &table{sep: sep, comma: comma}
	var above [][]string
	run := 0
	for i, text := range lines {
		cells := split(text, sep)
		numbers := 0
		for _, c := range cells {
			if _, ok := t.number(c); ok || clockTime(c) {
				numbers++
			}
		}
		switch {
		case numbers >= 2:
			t.rows, t.line = append(t.rows, cells), append(t.line, i+1)
			run++
		case run >= leastRows || strings.TrimSpace(text) == "":
			// a remark or an empty line within the table
		default:
			for _, r := range t.rows {
				above = append(above, r)
			}
			t.rows, t.line, run = nil, nil, 0
			above = append(above, cells)
		}
	}
	if run < leastRows {
		return nil
	}
	t.name(above)
	return t
}

// name takes the last line above the table as its header when it names columns.
func (t *table) name(above [][]string) {
	if n := len(above); n > 0 && named(above[n-1]) >= 2 {
		t.header = above[n-1]
		above = above[:n-1]
	}
	for _, cells := range above {
		if text := strings.Join(strings.Fields(strings.Join(cells, " ")), " "); text != "" {
			t.facts = append(t.facts, text)
		}
	}
}

func named(cells []string) int {
	n := 0
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			n++
		}
	}
	return n
}

func split(text string, sep rune) []string {
	if sep == ' ' {
		return strings.Fields(text)
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.LazyQuotes, r.FieldsPerRecord, r.TrimLeadingSpace = sep, true, -1, true
	cells, err := r.Read()
	if err != nil {
		return nil
	}
	return cells
}

// number reads a cell. A decimal comma counts only in a table of such.
func (t *table) number(cell string) (float64, bool) {
	cell = strings.TrimSpace(cell)
	if t.comma {
		if strings.Contains(cell, ".") {
			return 0, false
		}
		cell = strings.Replace(cell, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(strings.Replace(cell, "−", "-", 1), 64)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}

// value is a cell as a number; of times also dates and times of day, in s.
func (t *table) value(cell, quantity string) float64 {
	if v, ok := t.number(cell); ok {
		return v
	}
	if quantity != "time" {
		return math.NaN()
	}
	for _, layout := range moments {
		at, err := time.Parse(layout, strings.TrimSpace(strings.Replace(cell, ",", ".", 1)))
		if err != nil {
			continue
		}
		if at.Year() != 0 {
			return float64(at.Unix()) + float64(at.Nanosecond())/1e9
		}
		// A time of day, which may pass midnight.
		s := float64(at.Hour()*3600+at.Minute()*60+at.Second()) + float64(at.Nanosecond())/1e9
		if behind := t.day - 43200 - s; behind > 0 {
			s += 86400 * math.Ceil(behind/86400)
		}
		t.day = s
		return s
	}
	return math.NaN()
}

// moments are the ways of writing a time that are understood.
var moments = []string{time.RFC3339Nano, "2006-01-02 15:04:05.999999999", "2006-01-02T15:04:05.999999999",
	"02.01.2006 15:04:05", "01/02/2006 15:04:05", "15:04:05.999999999", "15:04"}

func clockTime(cell string) bool {
	if !strings.Contains(cell, ":") {
		return false
	}
	t := table{}
	return !math.IsNaN(t.value(cell, "time"))
}
