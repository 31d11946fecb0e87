package grid

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Thousands set off by the mark that is not the decimal one: 1,250.5 and 1.250,5.
var (
	thousandComma = regexp.MustCompile(`^[-+−]?\d{1,3}(,\d{3})+(\.\d+)?$`)
	thousandPoint = regexp.MustCompile(`^[-+−]?\d{1,3}(\.\d{3})+(,\d+)?$`)
	decimalComma  = regexp.MustCompile(`^[-+−]?\d+,(\d{1,2}|\d{4,})$`)
	decimalPoint  = regexp.MustCompile(`^[-+−]?\d+\.(\d{1,2}|\d{4,})$`)
)

// threeBehind finds lines with three figures behind a mark.
var threeBehind = map[string]*regexp.Regexp{",": regexp.MustCompile(`\d,\d{3}(\D|$)`), ".": regexp.MustCompile(`\d\.\d{3}(\D|$)`)}

// thousands reports whether the cells of lines set off thousands: some look like it, and
// others show that the decimal mark is the other one, and never this.
func thousands(lines []string, sep rune, comma bool) bool {
	like, decimal, not := thousandComma, decimalPoint, decimalComma
	mark := ","
	if comma {
		like, decimal, not, mark = thousandPoint, decimalComma, decimalPoint, "."
	}
	if !slices.ContainsFunc(lines, threeBehind[mark].MatchString) {
		return false // as in most logs, and soon said
	}
	some, shown := false, false
	for _, text := range lines {
		if !strings.Contains(text, mark) && shown {
			continue
		}
		for _, c := range split(text, sep) {
			c = strings.TrimSpace(c)
			switch {
			case c == "" || len(c) > 20:
			case not.MatchString(c):
				return false
			case like.MatchString(c):
				some = true
			case decimal.MatchString(c):
				shown = true
			}
		}
	}
	return some && shown
}

// bare is a cell without what a spreadsheet puts around a number to keep it as it is: an
// apostrophe before it, or ="…".
func bare(cell string) string {
	cell = strings.TrimSpace(cell)
	if rest, ok := strings.CutPrefix(cell, "="); ok {
		cell = rest
	}
	return strings.TrimSpace(strings.Trim(cell, `'"’`))
}

// trailing is a unit that stands in the cell, after its number.
var trailing = regexp.MustCompile(`^([+\-−]?[\d.,]+(?:[eE][+\-]?\d+)?)\s*([\p{L}°µμ³%]+(?:/[\p{L}]+)?)$`)

// flagged is a number with the mark that a meter puts behind one: that it is at rest, or not.
// setOff are thousands set off by blanks that do not break, or by apostrophes.
var (
	flagged = regexp.MustCompile(`(?i)^([+\-−]?\d[\d.,]*)\s*(?:\*+|!|#|\?|ok|stable|stab|unstable|drift|rdy|ready|auto|hold)$`)
	setOff  = regexp.MustCompile(`^[+\-−]?\d{1,3}([\x{00a0}\x{202f}\x{2009}'’]\d{3})+([.,]\d+)?$`)
	blanks  = regexp.MustCompile(`[\x{00a0}\x{202f}\x{2009}'’]`)
)

// unadorned is the number of a cell without its spread, its mark, its unit and the blanks
// within it.
func unadorned(cell string) string {
	for _, mark := range []string{"±", "+/-", "+-"} {
		if head, _, ok := strings.Cut(cell, mark); ok {
			cell = strings.TrimSpace(head)
		}
	}
	if m := flagged.FindStringSubmatch(cell); m != nil {
		cell = m[1]
	}
	if setOff.MatchString(cell) {
		cell = blanks.ReplaceAllString(cell, "")
	}
	if m := trailing.FindStringSubmatch(cell); m != nil {
		if _, ok := UnitOf(m[2]); ok || strings.EqualFold(m[2], "pH") {
			cell = m[1]
		}
	}
	return cell
}

// number reads a cell, with its unit when it has one. A decimal comma counts only
// in a table of such.
func (t *Table) number(cell string) (float64, bool) {
	cell = bare(cell)
	if strings.IndexAny(cell, "+-−.,0123456789") != 0 {
		return 0, false
	}
	if strings.Trim(cell, "+-.,0123456789") != "" { // else nothing stands beside the number
		cell = unadorned(cell)
	}
	if like, mark := thousandComma, ","; t.groups {
		if t.comma {
			like, mark = thousandPoint, "."
		}
		if like.MatchString(cell) {
			cell = strings.ReplaceAll(cell, mark, "")
		}
	}
	if t.comma {
		if strings.Contains(cell, ".") {
			return 0, false
		}
		cell = strings.Replace(cell, ",", ".", 1)
	}
	cell = strings.Replace(cell, "−", "-", 1)
	if cell == "" || !strings.ContainsAny(cell[:1], "+-.0123456789") || strings.ContainsAny(cell, "xXpP_") {
		return 0, false
	}
	v, err := strconv.ParseFloat(cell, 64)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}

// Span is the lowest and the highest of some values; what is missing (NaN) does not count.
func Span(v []float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, x := range v {
		if !math.IsNaN(x) {
			low, high = math.Min(low, x), math.Max(high, x)
		}
	}
	return low, high
}
