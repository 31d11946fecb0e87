package grid

import (
	"regexp"
	"slices"
	"strings"
)

// Loggers that somebody has built write each value beside its name: "t=12 s; V=0.50 mL; pH=3.21",
// or a JSON object a line. Such lines are a table whose head stands in every row.

// keyed is a name with its value: a time of day, or a number; keyedUnit may stand behind it.
var (
	keyed      = regexp.MustCompile(`"?(\p{L}[\p{L}\d_./()² ³°µ]{0,30}?)"?\s*[=:]\s*"?(\d{1,2}:\d{2}(?::\d{2})?(?:[.,]\d+)?|[-+−]?\d+(?:[.,]\d+)?(?:[eE][-+−]?\d+)?)"?`)
	keyedUnit  = regexp.MustCompile(`^[ \t]*(mL|ml|cm3|µL|µl|uL|ul|L|l|mV|V|°C|°F|C|F|K|pH|min|ms|s|h)(?:[^\p{L}\d]|$)`)
	another    = regexp.MustCompile(`^[ \t]*"?[^\s:="]+"?\s*[:=]`) // it is the next name, and no unit
	timeBefore = regexp.MustCompile(`^\s*[\[(]?(?:\d{4}-\d{2}-\d{2}[T ])?(\d{1,2}:\d{2}:\d{2}(?:[.,]\d+)?)`)
)

// pairs are the names of a line, each with its unit, and the values; a time of day before
// the first name is one of "time".
func pairs(text string) (names, values []string) {
	if m := timeBefore.FindStringSubmatch(text); m != nil {
		names, values = append(names, "time"), append(values, m[1])
		text = text[len(m[0]):]
	}
	for {
		m := keyed.FindStringSubmatchIndex(text)
		if m == nil {
			return names, values
		}
		name := strings.TrimSpace(text[m[2]:m[3]])
		values = append(values, strings.ReplaceAll(text[m[4]:m[5]], "−", "-"))
		text = text[m[1]:]
		if u := keyedUnit.FindStringSubmatch(text); u != nil && !another.MatchString(text) {
			if u[1] != name {
				name += " (" + u[1] + ")"
			}
			text = strings.TrimPrefix(strings.TrimLeft(text, " \t"), u[1])
		}
		names = append(names, name)
	}
}

// mostlyKeyed is the share of the lines that have the same names, from which on they are a
// table (a choice of this project).
const mostlyKeyed = 0.6

// Unkeyed are lines with names beside their values as those of a table, a head and its rows
// set off by tabs; other lines stay as they are. A head that had no room goes before all of
// them, and every line is one later then. False where the lines are no such table.
func Unkeyed(lines []string) (table []string, later, ok bool) {
	counts, full := map[string]int{}, 0
	heads, cells := make([]string, len(lines)), make([][]string, len(lines))
	for i, text := range lines {
		if strings.TrimSpace(text) == "" {
			continue
		}
		full++
		var names []string
		names, cells[i] = pairs(text)
		if len(names) > 1 {
			heads[i] = strings.Join(names, "\t")
			counts[heads[i]]++
		}
	}
	head, most := "", 0
	for _, h := range heads { // in their order: the first of two alike
		if counts[h] > most && h != "" {
			head, most = h, counts[h]
		}
	}
	if most < LeastRows || float64(most) < mostlyKeyed*float64(full) {
		return nil, false, false
	}
	out := slices.Clone(lines)
	headed := false
	for i := range out {
		switch {
		case heads[i] != head:
			out[i] = strings.ReplaceAll(out[i], "\t", " ")
		case !headed && i > 0 && strings.TrimSpace(out[i-1]) == "":
			out[i-1], headed = head, true
			out[i] = strings.Join(cells[i], "\t")
		default:
			out[i] = strings.Join(cells[i], "\t")
		}
	}
	if !headed {
		first := slices.Index(heads, head)
		out = slices.Insert(out, first, head)
	}
	return out, !headed, true
}

// Foreign says what a file is that is no text of rows, and what to do; empty for text.
func Foreign(lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	first := strings.TrimSpace(lines[0])
	lower := strings.ToLower(first)
	switch {
	case strings.HasPrefix(first, "PK\x03\x04"), strings.HasPrefix(first, "\u00d0\u00cf\u0011\u00e0"):
		return "this is a workbook of a spreadsheet, or an archive: save the sheet as CSV, which is text"
	case strings.HasPrefix(first, "%PDF"):
		return "this is a PDF: copy its table into a text file"
	case strings.HasPrefix(lower, "<!doctype"), strings.HasPrefix(lower, "<html"), strings.HasPrefix(lower, "<table"), strings.HasPrefix(lower, "<?xml"):
		return "this is a page of markup: save its table as CSV, which is text"
	}
	return ""
}
