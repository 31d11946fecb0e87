package grid

import (
	"regexp"
	"strconv"
	"strings"
)

// Heads that do not fit their tables: row numbers that have no name, and decimal commas
// between commas, which make two cells of one number.

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
