package grid

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Heads: the lines above a table that name its columns, and those that do not fit it: row
// numbers that have no name, and decimal commas between commas, which make two cells of one
// number.

// mend makes head and rows fit where only one reading is left.
func (t *Table) mend() {
	names := 0
	for i, h := range t.Header {
		if strings.TrimSpace(h) != "" {
			names = i + 1
		}
	}
	if t.Turned || names < 2 {
		return
	}
	if t.Sep == ',' && !t.comma && t.halved(names) {
		t.join()
		return
	}
	wide := 0
	for at := range t.Width() {
		if n, _ := t.Filled(at); 2*n > len(t.Rows) {
			wide = at + 1
		}
	}
	if wide == names+1 && t.counts(0) && t.below15(wide-1) {
		t.Header = append([]string{""}, t.Header...)
		t.Numbered = true
	}
}

var wholeNumber = regexp.MustCompile(`^[-+−]?\d+$`)

// halved reports whether every row has twice as many whole numbers as there are names.
func (t *Table) halved(names int) bool {
	for _, r := range t.Rows {
		if len(r) != 2*names {
			return false
		}
		for i, c := range r {
			if !wholeNumber.MatchString(c) || i%2 == 1 && strings.ContainsAny(c, "+-−") {
				return false
			}
		}
	}
	return true
}

// join puts the two halves of each number together.
func (t *Table) join() {
	for k, r := range t.Rows {
		var row []string
		for i := 0; i+1 < len(r); i += 2 {
			row = append(row, r[i]+"."+r[i+1])
		}
		t.Rows[k] = row
	}
	t.Joined = true
}

// counts reports whether a column counts the rows: 1, 2, 3 …
func (t *Table) counts(at int) bool {
	last := 0
	for i, r := range t.Rows {
		if at >= len(r) {
			return false
		}
		n, err := strconv.Atoi(strings.TrimSpace(r[at]))
		if err != nil || i > 0 && n != last+1 || i == 0 && n != 0 && n != 1 {
			return false
		}
		last = n
	}
	return true
}

// below15 reports whether a column can be pH.
func (t *Table) below15(at int) bool {
	low, high := Span(t.Values(at))
	return low >= -1 && high <= 15
}

// unread are the lines within the table that hold a number and are no row of it.
func (t *Table) unread(cells []string) bool {
	if len(cells) < 2 || t.Sep == ' ' {
		return false
	}
	for _, c := range cells {
		if c = bare(c); c != "" && c[0] >= '0' && c[0] <= '9' && !isMoment(c) {
			return true
		}
	}
	return false
}

// name takes the last line above the table as its header when it names columns,
// or the last two when the second has the units.
func (t *Table) name(above [][]string) {
	last := func(back int) []string {
		if n := len(above) - back; n >= 0 && n < len(above) {
			return above[n]
		}
		return nil
	}
	switch {
	case t.unitRow(last(1)) && t.heads(last(2)):
		t.Header = slices.Clone(unmarked(last(2)))
		for i, u := range unmarked(last(1)) {
			if u = strings.Trim(strings.TrimSpace(u), "[]()"); i < len(t.Header) && u != "" && u != "-" && !has(t.Header[i], u) {
				t.Header[i] = strings.TrimSpace(t.Header[i]) + " (" + u + ")"
			}
		}
		above = above[:len(above)-2]
	case t.heads(last(1)):
		t.Header = unmarked(last(1))
		above = above[:len(above)-1]
	}
	for _, cells := range above {
		if text := strings.Join(strings.Fields(strings.Join(cells, " ")), " "); text != "" {
			t.Facts = append(t.Facts, text)
		}
	}
}

// has reports whether a name says a unit already: "t (s)" above a row with s, or pH above pH.
func has(name, unit string) bool {
	name = strings.TrimSpace(name)
	if strings.EqualFold(name, unit) {
		return true
	}
	if m := bracketed.FindStringSubmatch(name); m != nil && strings.EqualFold(m[1], unit) {
		return true // also a form of time, which is no unit
	}
	in, named := UnitIn(name)
	of, ok := UnitOf(unit)
	return named && ok && in == of && in.Quantity != ""
}

// formOfTime is the form of times of day and dates, as a unit.
var formOfTime = regexp.MustCompile(`(?i)^(hh?:mm?(:ss?)?|mm?:ss?|(dd?|mm?|yyyy|yy|tt|jjjj)[./-](dd?|mm?|tt)([./-](yyyy|yy|dd?|jjjj))?)([ t]hh?:mm?(:ss?)?)?(\.\w+)?$`)

// unitRow reports whether a line holds units, and nothing else.
func (t *Table) unitRow(cells []string) bool {
	n := 0
	for _, c := range cells {
		c = strings.Trim(strings.TrimSpace(c), "[]()")
		if c == "" || c == "-" {
			continue
		}
		if _, ok := UnitOf(c); !ok && !strings.EqualFold(c, "pH") && !formOfTime.MatchString(c) {
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
func (t *Table) heads(cells []string) bool {
	named := 0
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			named++
		}
		if _, ok := t.number(c); ok || stated.MatchString(c) {
			return false
		}
	}
	return named >= 2 || named == 1 && len(cells) == t.Width()
}
