// Package phrase has the small words of all rooms: numbers with the digits that
// count, spans of time, counted things, lines broken between words, command lines
// taken apart, and how far a word is from another.
package phrase

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/charmbracelet/x/ansi"

	"example.org/halfdrop/chem/spelling"
)

// Wrap breaks a text into lines of at most n letters where it has spaces,
// but not between a number and its unit.
func Wrap(text string, n int) []string {
	var out []string
	line := ""
	for _, word := range Glued(strings.Fields(text)) {
		if line != "" && ansi.StringWidth(line)+1+ansi.StringWidth(word) > n {
			out, line = append(out, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(out, line)
}

// Glued are words with units joined to the numbers before them, so that no line ends
// between the two.
func Glued(words []string) []string {
	var out []string
	for _, w := range words {
		if n := len(out); n > 0 && (strings.ContainsAny(out[n-1], "0123456789") && (isUnit(w) || w == "±") || strings.HasSuffix(out[n-1], "±")) {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

// isUnit reports whether a word is a unit, with what may stand behind it.
func isUnit(w string) bool {
	return slices.Contains([]string{"mL", "µL", "M", "mM", "mmol", "mol", "mol/L", "g", "°C", "%", "pH", "mV", "s", "min"}, strings.TrimRight(w, ".,;:)"))
}

// Minus writes a number with the sign for minus.
func Minus(s string) string {
	if len(s) > 0 && s[0] == '-' {
		return "−" + s[1:]
	}
	return s
}

// hyphened is a hyphen in the place of a minus: before a number, at the beginning of a word.
var hyphened = regexp.MustCompile(`(^|[ (])-(\d)`)

// Minuses writes a sentence with the sign for minus before its numbers.
func Minuses(s string) string { return hyphened.ReplaceAllString(s, "$1−$2") }

// LowerFirst begins a phrase that goes on after a colon.
func LowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// PH shows a pH with two decimals, or three where it was given with three.
func PH(ph float64) string { return strings.TrimSuffix(fmt.Sprintf("%.3f", ph), "0") }

// UpperFirst begins a sentence.
func UpperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// Counted is a number of things in words.
func Counted[N int | int64](n N, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Times is how often something was, in words.
func Times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// Lasting is a time in words, to the second below an hour.
func Lasting(seconds float64) string {
	d := time.Duration(math.Round(seconds)) * time.Second
	h, m, s := int(d.Hours()), int(d.Minutes())%60, int(d.Seconds())%60
	switch {
	case h > 0:
		return fmt.Sprintf("%d h %d min", h, m)
	case m > 0:
		return fmt.Sprintf("%d min %d s", m, s)
	}
	return fmt.Sprintf("%d s", s)
}

// Away is a time without readings: in seconds where it is short, else in minutes.
func Away(seconds float64) string {
	if seconds < 99.5 {
		return fmt.Sprintf("%.0f s", seconds)
	}
	return fmt.Sprintf("%.0f min", seconds/60)
}

// Quote are arguments as a shell would want them.
func Quote(args []string) []string {
	out := make([]string, len(args))
	for i, a := range args {
		if out[i] = a; a == "" || strings.ContainsAny(a, " '\"\\$&;|<>()*?[]#~`!") {
			out[i] = "'" + strings.ReplaceAll(a, "'", `'\''`) + "'"
		}
	}
	return out
}

// Words takes a command line apart as a shell does with words and quotes, and
// with nothing else: no variables, no pipes.
func Words(line string) (words []string, err error) {
	var word []rune
	in, quote := false, rune(0)
	for _, r := range line {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote != 0:
			word = append(word, r)
		case r == '"' || r == '\'':
			quote, in = r, true
		case r == ' ' || r == '\t':
			if in {
				words, word, in = append(words, string(word)), nil, false
			}
		default:
			word, in = append(word, r), true
		}
	}
	if quote != 0 {
		return nil, fmt.Errorf("the quotation mark %c is not closed", quote)
	}
	if in {
		words = append(words, string(word))
	}
	return words, nil
}

// Called are those of a list that a person means by words: the one that is called so, else
// all that begin so. Case does not matter.
func Called(list []string, words string) []string {
	if i := slices.IndexFunc(list, func(s string) bool { return strings.EqualFold(s, words) }); i >= 0 {
		return list[i : i+1]
	}
	return Only(list, func(s string) bool { return strings.HasPrefix(strings.ToLower(s), strings.ToLower(words)) })
}

// Clip is the beginning of s, fit to be shown.
func Clip(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}

// Slips is how many slips of the pen make one word of another.
func Slips(a, b string) int { return spelling.Slips([]byte(a), []byte(b)) }

// Number is a number in the fewest digits, six at most.
func Number(x float64) string { return Digits(x, 6) }

// Digits is a number in the fewest digits, n at most.
func Digits(x float64, n int) string { return strconv.FormatFloat(x, 'g', n, 64) }

// Clock is a run time, s, as minutes and seconds, with hours when there are any.
func Clock(t float64) string {
	s := int(t)
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// Watch is run time, s, as mm:ss, or h:mm:ss from an hour on: of one width, for figures
// that change where they stand.
func Watch(t float64) string {
	s := Clock(max(t, 0))
	if len(s) < len("mm:ss") {
		s = "0" + s
	}
	return s
}

// Decimals is x with so many digits after the point, as a file keeps it.
func Decimals(x float64, digits int) float64 {
	p := math.Pow10(digits)
	return math.Round(x*p) / p
}

// Plain is an error as a person is told it: without the rooms of the program that it
// has come through, and without calls of the system, addresses of sockets, names of
// temporary files and code points, which nobody can do anything with.
func Plain(err error) error {
	lines := strings.Split(err.Error(), "\n")
	for i, line := range lines {
		for _, r := range plainer {
			line = r.raw.ReplaceAllString(line, r.plain)
		}
		lines[i] = line
	}
	return errors.New(strings.Join(lines, "\n"))
}

// plainer are the raw texts with what is said instead, in the order in which they are
// looked for. Where a system words it otherwise, that wording stands beside it.
var plainer = []struct {
	raw   *regexp.Regexp
	plain string
}{
	{regexp.MustCompile(`(^|: )(?:(?:table|chem|curve|recipe|fit|run|amend|replay|journal|serial|frame|calib|trial|practice|report|sim|station|probe|find|tui|advise): )+`), "$1"},
	{regexp.MustCompile(`(^|[ (])\S*[/\\]halfdrop-\d+[/\\]standard input`), "${1}standard input"},
	{regexp.MustCompile(`^-(:\d+:\d+)?: `), "standard input$1: "},
	{regexp.MustCompile(`[/\\]\.new-(\S+?)-\d+: `), "/$1: "},
	{regexp.MustCompile(`(^|: )exec: "([^"]*)": (?:executable )?file (?:not found in (?:\$PATH|%PATH%)|does not exist)`), `${1}no program "$2" is installed here`},
	{regexp.MustCompile(`(^|: )mkdir (.+?): (?:no such file or directory|permission denied|operation not permitted|read-only file system|Access is denied\.|The system cannot find the path specified\.)`), "${1}the folder $2 cannot be made"},
	{regexp.MustCompile(`(^|: )(?:open|read|stat|lstat|write|mkdir|rename|fork/exec) (.+?): (?:not an ordinary file: )?(?:it )?is a (?:folder|directory)$`), "$1$2: it is a folder, not a file"},
	{regexp.MustCompile(`(^|: )(?:open|read|stat|lstat) (.+?): not an ordinary file: `), "$1$2: "},
	{regexp.MustCompile(`(^|: )(?:open|read|stat) (.+?): too large: `), "$1$2: too large: "},
	{regexp.MustCompile(`(^|: )(?:open|mkdir|symlink \S+) (.+?): file exists`), "$1$2: it exists already"},
	{regexp.MustCompile(`(^|: )(?:stat|open|lstat|read|mkdir|symlink \S+) (.+): (?:no such file or directory|The system cannot find the (?:file|path) specified\.)$`), "$1$2: no such file"},
	{regexp.MustCompile(`(^|: )open (.+?): (?:permission denied|operation not permitted|Access is denied\.|read-only file system) \((choose a place you may write to)\)$`), "$1$2: this is not permitted; $3"},
	{regexp.MustCompile(`(^|: )(?:open|mkdir|stat|lstat|write|rename|unlink|fork/exec|symlink \S+) (.+?): (?:permission denied|operation not permitted|Access is denied\.|read-only file system)$`), "$1$2: this is not permitted; see whose it is, or choose another place"},
	{regexp.MustCompile(`(^|: )(?:write|close|fsync|sync) (.+?): no space left on device$`), "$1$2: the disk is full"},
	{regexp.MustCompile(`(^|: )write: no space left on device \(free some space on the disk, then try again\)$`), "${1}the disk is full: free some space on it"},
	{regexp.MustCompile(`(^|: )(?:mkdir|open|stat|lstat) (.+?): not a directory$`), "$1$2: what should be a folder on the way is a file"},
	{regexp.MustCompile(`(^|: )(?:open|stat|lstat|mkdir) (.+?): file name too long$`), "$1$2: this name is too long for a file"},
	{regexp.MustCompile(`(^|: )(?:read|write) tcp \S+?->\S+: (?:read|write|wsarecv|wsasend): (?:connection reset by peer|broken pipe|An existing connection was forcibly closed by the remote host\.)`), "${1}the other side has closed the connection"},
	{regexp.MustCompile(`(^|: )(?:read|write|dial) tcp [^ ]*(?:->[^ ]+)?: (?:connect: )?(?:i/o timeout|connection timed out)`), "${1}there is no answer"},
	{regexp.MustCompile(`(^|: )dial tcp: address (\S+): invalid port`), "${1}$2 is not a port of a network; they go from 1 to 65535"},
	{regexp.MustCompile(`(^|: )unexpected character U\+000[AD] at start of value`), "${1}the value is missing after ="},
	{regexp.MustCompile(`(^|: )(?:unexpected|invalid) character at start of (key|value): U\+[0-9A-F]+ ('.*')$`), "${1}a $2 cannot begin with $3"},
	{regexp.MustCompile(`(^|: )invalid character '(.*)' (?:in literal \w+ \(expecting '.'\)|looking for .*|after .*)$`), "${1}this is not JSON, from $2 on"},
	{regexp.MustCompile(`(^|: )(?:unexpected end of JSON input|unexpected EOF)$`), "${1}the line of JSON is cut short"},
	{regexp.MustCompile(`(^|: )json: cannot unmarshal (\w+) into Go value of type \S+$`), "${1}$2 where an object in {} is needed"},
	{regexp.MustCompile(`(^|: )json: cannot unmarshal number (\S+) into Go struct field \S+?\.(\w+) of type \S+$`), "${1}$3 cannot be $2"},
	{regexp.MustCompile(`(^|: )json: cannot unmarshal (\w+) into Go struct field \S+?\.(\w+) of type \S+$`), "${1}$3 cannot be a $2"},
}

// Each is f of each of a list, in its order; nil for an empty one.
func Each[S ~[]E, E, T any](list S, f func(E) T) (out []T) {
	out = slices.Grow(out, len(list))
	for _, x := range list {
		out = append(out, f(x))
	}
	return out
}

// Only is those of a list for which keep is true, in their order; nil for none.
func Only[S ~[]E, E any](list S, keep func(E) bool) (out S) {
	for _, x := range list {
		if keep(x) {
			out = append(out, x)
		}
	}
	return out
}
