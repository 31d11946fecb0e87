package serial

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/textfile"
)

// dialectKeys are the keys of a dialect file in the order in which it is written, each with
// a value that it may have, empty for one that every file has, and what it is for. Words come
// last, as a table of their own does.
var dialectKeys = [][3]string{
	{"name", "", "of this meter"},
	{"port", "", "where it was; --port names another one"},
	{"baud", "", "speed"},
	{"frame", "", "data bits, parity, stop bits"},
	{"terminator", `";"`, "ends a line, where it is not CR or LF; \"\\u0003\" is ETX"},
	{"query", `"R\r"`, "asks for a reading, for a meter that waits to be asked"},
	{"interval_s", "2", "between two queries, s"},
	{"drop", `["FF", "XON", "XOFF", "NUL"]`, "control bytes that are ignored wherever they occur"},
	{"skip", `['^---', '^Operator']`, "patterns of lines that are skipped"},
	{"join_from", `'^No\.'`, "the first line of a printed record that is read as one line, as a pattern"},
	{"join_to", `'^End'`, "its last line; or join_lines = 4"},
	{"join_lines", "", "lines of a record that is joined into one"},
	{"checksum", `"xor"`, "or \"sum\": two hexadecimal digits at the end, over the bytes before them"},
	{"checksum_after", `"*"`, "what comes between those bytes and the digits"},
	{"separator", `","`, "between columns; \"\\t\" is a tab, \" \" any number of blanks"},
	{"columns", `["time", "pH", "°C", "ignore"]`, "what they are: pH, mV, °C, °F, K, channel, time, status, ignore"},
	{"pattern", `'R(?P<ph>\d+,\d+)/(?P<temp>\d+)'`, "in place of columns: the whole line, with groups ph, mv, temp, status, channel"},
	{"decimal", `"comma"`, "the decimal mark in columns or pattern"},
	{"temp_unit", `"F"`, "of the group temp: C, F or K"},
	{"channel", `"2"`, "the one in the beaker"},
	{"months", `["jan", "feb", "mar", "apr", "maj", "jun", "jul", "aug", "sep", "okt", "nov", "dec"]`, "names of the months"},
	{"words", `{ "vakaa" = "stable" }`, "words of this meter, and what they mean"},
}

// DialectKeys are the keys of a dialect file, in the order in which it is written.
var DialectKeys = phrase.Each(dialectKeys, func(k [3]string) string { return k[0] })

// WriteDialect is the text of a dialect file that sets what c says, with a
// comment on every line. What it writes reads back as the same.
func WriteDialect(c Config) string {
	s := frame.Spec{}
	if c.Dialect != nil {
		s = c.Dialect.Spec()
	}
	value := map[string]string{
		"name": quote(s.Name), "port": quote(c.Name), "terminator": quote(c.Terminator), "query": quote(c.Query), "drop": list(s.Drop), "skip": list(s.Skip),
		"join_from": quote(s.JoinFrom), "join_to": quote(s.JoinTo), "checksum": quote(s.Checksum), "checksum_after": quote(s.SumAfter), "separator": quote(s.Separator),
		"columns": list(s.Columns), "pattern": quote(s.Pattern), "temp_unit": quote(s.TempUnit), "channel": quote(c.Channel), "months": list(s.Months),
	}
	if !networked(c.Name) && c.Name != Stdin {
		baud, form, _ := strings.Cut(c.Mode(), " ")
		value["baud"], value["frame"] = baud, quote(form)
	}
	if c.Query != "" && c.Interval > 0 {
		value["interval_s"] = strconv.FormatFloat(c.Interval.Seconds(), 'f', -1, 64)
	}
	if s.JoinLines > 0 {
		value["join_lines"] = strconv.Itoa(s.JoinLines)
	}
	if s.Comma {
		value["decimal"] = quote("comma")
	}
	var b, others strings.Builder
	b.WriteString("# How one meter sends, as learned by halfdrop ports --learn. It is used by\n" +
		"# halfdrop titrate --meter NAME. Text is in quotes; what follows # is for people.\n\n")
	for _, k := range dialectKeys {
		switch {
		case value[k[0]] != "":
			fmt.Fprintf(&b, "%s = %s  # %s\n", k[0], value[k[0]], k[2])
		case k[1] != "" && (k[0] != "words" || len(s.Words) == 0):
			fmt.Fprintf(&others, "# %s = %s  # %s\n", k[0], k[1], k[2])
		}
	}
	b.WriteString("\n# Other settings; remove the # from the lines you want.\n" + others.String())
	if len(s.Words) > 0 {
		b.WriteString("\n[words]  # of the meter, and what they mean\n")
		for _, from := range slices.Sorted(maps.Keys(s.Words)) {
			fmt.Fprintf(&b, "%s = %s\n", quote(from), quote(s.Words[from]))
		}
	}
	return b.String()
}

// quote is a TOML basic string, nothing for an empty one.
func quote(s string) string {
	if s == "" {
		return ""
	}
	return textfile.Quoted(s)
}

func list[S ~string](words []S) string {
	if len(words) == 0 {
		return ""
	}
	return "[" + strings.Join(phrase.Each(words, func(s S) string { return quote(string(s)) }), ", ") + "]"
}
