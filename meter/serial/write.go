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

// WriteDialect is the text of a dialect file that sets what c says, with a
// comment on every line. What it writes reads back as the same.
func WriteDialect(c Config) string {
	var b strings.Builder
	b.WriteString("# How one meter sends, as learned by halfdrop ports --learn. It is used by\n" +
		"# halfdrop titrate --meter NAME. Text is in quotes; what follows # is for people.\n\n")
	said := map[string]bool{"words": len(specOf(c).Words) > 0}
	line := func(key, value, comment string) {
		if value != "" {
			said[key] = true
			fmt.Fprintf(&b, "%s = %s  # %s\n", key, value, comment)
		}
	}
	s := specOf(c)
	line("name", quote(s.Name), "of this meter")
	line("port", quote(c.Name), "where it was; --port names another one")
	if !networked(c.Name) && c.Name != Stdin {
		mode := strings.Fields(c.Mode())
		line("baud", mode[0], "speed")
		line("frame", quote(mode[1]), "data bits, parity, stop bits")
	}
	line("terminator", quote(c.Terminator), "ends a line, in place of CR or LF")
	line("query", quote(c.Query), "asks for a reading")
	if c.Query != "" && c.Interval > 0 {
		line("interval_s", strconv.FormatFloat(c.Interval.Seconds(), 'f', -1, 64), "between two queries, s")
	}
	line("drop", list(s.Drop), "control bytes that are ignored wherever they occur")
	line("skip", list(s.Skip), "lines that are skipped, as patterns")
	line("join_from", quote(s.JoinFrom), "the first line of a record that is joined into one, as a pattern")
	line("join_to", quote(s.JoinTo), "its last line")
	if s.JoinLines > 0 {
		line("join_lines", strconv.Itoa(s.JoinLines), "lines of a record that is joined into one")
	}
	line("checksum", quote(s.Checksum), "two hexadecimal digits at the end, over what comes before them")
	line("checksum_after", quote(s.SumAfter), "what comes between the two")
	line("separator", quote(s.Separator), "between columns")
	line("columns", list(phrase.Each(s.Columns, func(r frame.Role) string { return string(r) })), "what they are; pH, mV, °C, °F, K, channel, time, status or ignore")
	line("pattern", quote(s.Pattern), "the whole line, with the groups ph, mv, temp, status and channel")
	if s.Comma {
		line("decimal", quote("comma"), "the decimal mark")
	}
	line("temp_unit", quote(s.TempUnit), "of the temperature")
	line("channel", quote(c.Channel), "the one in the beaker")
	line("months", list(s.Months), "names of the months")
	b.WriteString("\n# Other settings; remove the # from the lines you want.\n")
	for _, x := range examples {
		if !said[x[0]] {
			fmt.Fprintf(&b, "# %s = %s  # %s\n", x[0], x[1], x[2])
		}
	}
	if len(s.Words) > 0 {
		b.WriteString("\n[words]  # of the meter, and what they mean\n")
		for _, from := range slices.Sorted(maps.Keys(s.Words)) {
			fmt.Fprintf(&b, "%s = %s\n", quote(from), quote(s.Words[from]))
		}
	}
	return b.String()
}

// examples are the keys that a file does not have, with what they are for. Words
// come last, as a table of their own does.
var examples = [][3]string{
	{"terminator", `";"`, "ends a line, where it is not CR or LF; \"\\u0003\" is ETX"},
	{"query", `"R\r"`, "asks for a reading, for a meter that waits to be asked"},
	{"interval_s", "2", "between two queries, s"},
	{"drop", `["FF", "XON", "XOFF", "NUL"]`, "control bytes that are ignored wherever they occur"},
	{"skip", `['^---', '^Operator']`, "patterns of lines that are skipped"},
	{"join_from", `'^No\.'`, "the first line of a printed record that is read as one line"},
	{"join_to", `'^End'`, "its last line; or join_lines = 4"},
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

// quote is a TOML basic string, nothing for an empty one.
func quote(s string) string {
	if s == "" {
		return ""
	}
	return textfile.Quoted(s)
}

func list(words []string) string {
	if len(words) == 0 {
		return ""
	}
	return "[" + strings.Join(phrase.Each(words, quote), ", ") + "]"
}

func specOf(c Config) frame.Spec {
	if c.Dialect == nil {
		return frame.Spec{}
	}
	return c.Dialect.Spec()
}
