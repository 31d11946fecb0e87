package grid

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Times of day and dates in the logs of other programs.

// clockForm is a time of day; dayForm a date in figures; nameForm one with the
// name of its month.
var (
	clockForm = regexp.MustCompile(`^(?:(.*?)[ T,]+)?(\d{1,2}):(\d{1,2})(?::(\d{1,2}(?:[.,]\d+)?))?\s*([AaPp]\.?[Mm]\.?)?(Z|[+-]\d\d:?\d\d)?$`)
	dayForm   = regexp.MustCompile(`^(\d{1,4})[-/. ](\d{1,2})[-/. ](\d{1,4})\.?$`)
	nameForm  = regexp.MustCompile(`^(\d{1,4})[-/. ]+([A-Za-z]{3})[a-z]*[-/. ,]+(\d{1,4})$`)
)

// isMoment reports whether a cell holds a time of day or a date.
func isMoment(cell string) bool {
	cell = strings.TrimSpace(cell)
	if len(cell) < 4 || len(cell) > 40 || !dated(cell) {
		return false
	}
	if m := clockForm.FindStringSubmatch(cell); m != nil {
		return m[1] == "" || dayForm.MatchString(m[1]) || nameForm.MatchString(m[1])
	}
	return isDay(cell)
}

// dated reports whether a cell has the marks of a time of day or a date, which is soon seen.
func dated(cell string) bool {
	marks, letters, others := 0, false, false
	for i := range len(cell) {
		switch c := cell[i]; {
		case c == ':':
			return true
		case c == '-' || c == '/' || c == '.' || c == ' ':
			marks++
		case c >= 'A' && c <= 'z':
			letters = true
		case c < '0' || c > '9':
			others = true
		}
	}
	return marks >= 2 && (letters || !others)
}

// isDay reports whether a cell holds a date without a time.
func isDay(cell string) bool {
	cell = strings.TrimSpace(cell)
	return nameForm.MatchString(cell) || dayForm.MatchString(cell) && strings.ContainsAny(cell, "-/.") && !numberLike.MatchString(cell)
}

var numberLike = regexp.MustCompile(`^\d+\.\d+$`)

// days reads dates in the order that all of them allow: year first, or day and
// month in the one order that gives no thirteenth month; day first when both do,
// which is undecided when there is more than one day.
type days struct{ monthFirst, undecided bool }

func orderOf(cells []string) days {
	first, second := false, false // one is more than 12
	seen := map[string]bool{}
	for _, c := range cells {
		c = strings.TrimSpace(c)
		if m := dayForm.FindStringSubmatch(c); m != nil && len(m[1]) < 3 {
			a, _ := strconv.Atoi(m[1])
			b, _ := strconv.Atoi(m[2])
			first, second = first || a > 12, second || b > 12
			seen[c] = true
		}
	}
	return days{monthFirst: second && !first, undecided: !first && !second && len(seen) > 1}
}

// day is the number of a day, and whether it is one.
func (d days) day(cell string) (float64, bool) {
	cell = strings.TrimSpace(cell)
	y, mo, da := 0, 0, 0
	if m := nameForm.FindStringSubmatch(cell); m != nil {
		at, err := time.Parse("Jan", strings.ToUpper(m[2][:1])+strings.ToLower(m[2][1:3]))
		if err != nil {
			return 0, false
		}
		a, _ := strconv.Atoi(m[1])
		b, _ := strconv.Atoi(m[3])
		mo, da, y = int(at.Month()), a, b
		if a > 31 {
			da, y = b, a
		}
	} else if m := dayForm.FindStringSubmatch(cell); m != nil {
		a, _ := strconv.Atoi(m[1])
		b, _ := strconv.Atoi(m[2])
		c, _ := strconv.Atoi(m[3])
		switch {
		case len(m[1]) > 2:
			y, mo, da = a, b, c
		case d.monthFirst:
			y, mo, da = c, a, b
		default:
			y, mo, da = c, b, a
		}
	} else {
		return 0, false
	}
	if y < 100 {
		y += 2000
	}
	if mo < 1 || mo > 12 || da < 1 || da > 31 {
		return 0, false
	}
	return float64(time.Date(y, time.Month(mo), da, 0, 0, 0, 0, time.UTC).Unix()), true
}

// clock is the seconds of a time of day, with the date before it when there is one.
func clock(cell string) (s float64, date string, ok bool) {
	m := clockForm.FindStringSubmatch(strings.TrimSpace(cell))
	if m == nil {
		return 0, "", false
	}
	h, _ := strconv.Atoi(m[2])
	mi, _ := strconv.Atoi(m[3])
	sec := 0.0
	if m[4] != "" {
		sec, _ = strconv.ParseFloat(strings.Replace(m[4], ",", ".", 1), 64)
	}
	if half := strings.ToLower(strings.ReplaceAll(m[5], ".", "")); half == "pm" && h < 12 {
		h += 12
	} else if half == "am" && h == 12 {
		h = 0
	}
	if h > 24 || mi > 59 {
		return 0, "", false
	}
	return float64(h*3600+mi*60) + sec, m[1], true
}

// Moments reads a column of times of day, with the dates of the same cells or of
// another column, as seconds; a time of day alone may pass midnight.
func Moments(cells, dates []string) (out []float64, undecided bool) {
	all := append([]string(nil), dates...)
	for _, c := range cells {
		_, date, _ := clock(c)
		all = append(all, date)
		if isDay(c) {
			all = append(all, c)
		}
	}
	order := orderOf(all)
	last := 0.0
	for i, c := range cells {
		s, date, ok := clock(c)
		if !ok {
			s, ok = order.day(c)
		} else if date == "" && i < len(dates) {
			date = dates[i]
		}
		if !ok {
			out = append(out, math.NaN())
			continue
		}
		if d, is := order.day(date); is {
			s += d
		} else if behind := last - 43200 - s; behind > 0 && s < 86400 {
			s += 86400 * math.Ceil(behind/86400)
		}
		last = s
		out = append(out, s)
	}
	return out, order.undecided
}
