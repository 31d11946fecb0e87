package frame

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/halfdrop/meter"
)

// The kinds of tokens, one letter each, so that a line of tokens is a short
// string that the table can match.
const (
	tokNumber  = 'N' // a number with a sign, decimals or an exponent
	tokInteger = 'I' // digits only
	tokNoValue = 'Z' // NaN or dashes where a number should be
	tokLabel   = 'L' // pH
	tokMV      = 'M' // mV
	tokTemp    = 'T' // a label of a temperature
	tokUnitC   = 'C' // degrees Celsius
	tokDate    = 'D'
	tokTime    = 'H'
	tokChannel = 'K' // CH1, #2
	tokStatus  = 'S' // a word of the meter about its reading
	tokRange   = 'X' // over, under or no electrode
)

// token is one piece of a line.
type token struct {
	kind     byte
	value    float64 // numbers
	decimals int     // numbers: digits after the mark, less the exponent
	digits   int     // numbers: digits before the mark
	flags    meter.Flags
}

var (
	dateForm    = regexp.MustCompile(`^(?:(?:19|20)\d\d([-/.])\d\d?[-/.]\d\d?|\d\d?([-/.])\d\d?[-/.](?:19|20)\d\d|\d\d?/\d\d?/\d\d)`)
	timeForm    = regexp.MustCompile(`^T?\d\d?:\d\d(?::\d\d(?:[.,]\d{1,6})?)?(?:Z|[+-]\d\d:?\d\d)?(?: ?[AaPp][Mm]\b)?`)
	channelForm = regexp.MustCompile(`(?i)^(?:(?:ch(?:an(?:nel)?)?|no)\.?[ :]?|#)\d{1,6}`)
	numberForms = map[byte]*regexp.Regexp{
		'.': regexp.MustCompile(`^([+-] *)?(\d{1,9})(?:\.(\d{1,15}))?(?:[eE]([+-]?\d{1,3}))?`),
		',': regexp.MustCompile(`^([+-] *)?(\d{1,9})(?:,(\d{1,15}))?(?:[eE]([+-]?\d{1,3}))?`),
	}
	dashForm = regexp.MustCompile(`^-{2,6}(?:[.,]-{1,4})?`)
	wordForm = regexp.MustCompile(`^[A-Za-z°]+(?:-[A-Za-z]+)*`)
	headForm = regexp.MustCompile(`^:?(?:[A-Za-z]+:)+([A-Za-z]+)[ ]`)
)

// words are the words that a line may hold, in lower case.
var words = map[string]token{
	"ph": {kind: tokLabel},
	"mv": {kind: tokMV}, "millivolt": {kind: tokMV},
	"t": {kind: tokTemp}, "temp": {kind: tokTemp}, "temperature": {kind: tokTemp}, "tmp": {kind: tokTemp},
	"c": {kind: tokUnitC}, "°c": {kind: tokUnitC}, "degc": {kind: tokUnitC}, "deg c": {kind: tokUnitC},
	"° c": {kind: tokUnitC}, "cel": {kind: tokUnitC}, "celsius": {kind: tokUnitC},
	"stable": {kind: tokStatus, flags: meter.Stable}, "st": {kind: tokStatus, flags: meter.Stable},
	"settled": {kind: tokStatus, flags: meter.Stable}, "ready": {kind: tokStatus, flags: meter.Stable},
	"unstable": {kind: tokStatus, flags: meter.Unstable}, "us": {kind: tokStatus, flags: meter.Unstable},
	"not stable": {kind: tokStatus, flags: meter.Unstable}, "not ready": {kind: tokStatus, flags: meter.Unstable},
	"drifting": {kind: tokStatus, flags: meter.Unstable}, "measuring": {kind: tokStatus, flags: meter.Unstable},
	"atc": {kind: tokStatus}, "auto": {kind: tokStatus}, "ok": {kind: tokStatus},
	"mtc": {kind: tokStatus, flags: meter.TempByHand}, "manual": {kind: tokStatus, flags: meter.TempByHand},
	"man":  {kind: tokStatus, flags: meter.TempByHand},
	"over": {kind: tokRange, flags: meter.OverRange}, "over range": {kind: tokRange, flags: meter.OverRange},
	"over-range": {kind: tokRange, flags: meter.OverRange}, "overrange": {kind: tokRange, flags: meter.OverRange},
	"ovr": {kind: tokRange, flags: meter.OverRange}, "ol": {kind: tokRange, flags: meter.OverRange},
	"under": {kind: tokRange, flags: meter.UnderRange}, "under range": {kind: tokRange, flags: meter.UnderRange},
	"under-range": {kind: tokRange, flags: meter.UnderRange}, "underrange": {kind: tokRange, flags: meter.UnderRange},
	"udr": {kind: tokRange, flags: meter.UnderRange}, "ul": {kind: tokRange, flags: meter.UnderRange},
	"no probe": {kind: tokRange, flags: meter.NoProbe}, "no electrode": {kind: tokRange, flags: meter.NoProbe},
	"no sensor": {kind: tokRange, flags: meter.NoProbe},
	"nan":       {kind: tokNoValue},
}

// lexer cuts one line into tokens; mark is its decimal mark.
type lexer struct {
	rest string
	mark byte
	sep  byte // the separator other than blanks that this line uses, 0 until seen
	glue bool // nothing stands between the last token and the rest
	out  []token
}

// lex cuts s into tokens, with mark as the decimal mark. It fails on anything
// that is no token, on an empty field and on two kinds of separators.
func lex(s string, mark byte) ([]token, error) {
	l := lexer{rest: s, mark: mark}
	for l.rest != "" {
		if err := l.token(); err != nil {
			return nil, err
		}
		if err := l.gap(); err != nil {
			return nil, err
		}
	}
	return l.out, nil
}

// token takes one token from the front of the rest.
func (l *lexer) token() error {
	for _, try := range []func() bool{l.when, l.channel, l.header, l.number, l.dashes, l.word} {
		if try() {
			return nil
		}
	}
	return fmt.Errorf("%w: %q is not known", meter.ErrNotReading, head(l.rest))
}

// take moves n bytes of the rest into a token.
func (l *lexer) take(n int, t token) bool {
	l.out, l.rest = append(l.out, t), l.rest[n:]
	return true
}

func (l *lexer) when() bool {
	if m := dateForm.FindStringSubmatch(l.rest); m != nil {
		// A T joins a date to a time, anything else that goes on is no date.
		after := l.rest[len(m[0]):]
		if after == "" || !alnum(after[0]) || after[0] == 'T' {
			return l.take(len(m[0]), token{kind: tokDate})
		}
	}
	m := timeForm.FindString(l.rest)
	if m == "" || m[0] == 'T' && !l.last(tokDate) {
		return false
	}
	if after := l.rest[len(m):]; after != "" && (alnum(after[0]) || after[0] == ':') {
		return false
	}
	return l.take(len(m), token{kind: tokTime})
}

func (l *lexer) channel() bool {
	m := channelForm.FindString(l.rest)
	if m == "" || len(m) < len(l.rest) && (alnum(l.rest[len(m)]) || l.rest[len(m)] == '.') {
		return false
	}
	return l.take(len(m), token{kind: tokChannel})
}

// header takes a command header that an answer repeats, such as ":MEAS:PH ".
func (l *lexer) header() bool {
	m := headForm.FindStringSubmatch(l.rest)
	if m == nil {
		return false
	}
	t, ok := words[strings.ToLower(m[1])]
	if !ok || t.kind != tokLabel && t.kind != tokTemp && t.kind != tokMV {
		return false
	}
	return l.take(len(m[0])-1, t)
}

func (l *lexer) number() bool {
	m := numberForms[l.mark].FindStringSubmatch(l.rest)
	if m == nil || l.glue && l.last(tokNumber, tokInteger, tokNoValue, tokDate, tokTime, tokChannel) {
		return false
	}
	if after := l.rest[len(m[0]):]; after != "" && (after[0] == '.' || after[0] >= '0' && after[0] <= '9') {
		return false
	}
	return l.take(len(m[0]), numberToken(strings.TrimSpace(m[1]), m[2], m[3], m[4]))
}

// numberToken builds a number from its sign, whole digits, decimals and
// exponent. The values that SCPI-1999 (volume 1, section 7.2.1; from memory)
// sets aside for "not a number" and the infinities become what they mean.
func numberToken(sign, whole, decimals, exp string) token {
	e, _ := strconv.Atoi(exp)
	v, err := strconv.ParseFloat(sign+whole+"."+decimals+"0e"+strconv.Itoa(e), 64)
	t := token{kind: tokNumber, value: v, decimals: max(0, len(decimals)-e), digits: len(whole)}
	switch {
	case err != nil:
		return token{kind: tokNoValue}
	case v == 9.91e37:
		return token{kind: tokNoValue}
	case v >= 9.9e37:
		return token{kind: tokRange, flags: meter.OverRange}
	case v <= -9.9e37:
		return token{kind: tokRange, flags: meter.UnderRange}
	case sign == "" && decimals == "" && exp == "":
		t.kind = tokInteger
	}
	return t
}

func (l *lexer) dashes() bool {
	m := dashForm.FindString(l.rest)
	if m == "" || len(m) < len(l.rest) && alnum(l.rest[len(m)]) {
		return false
	}
	return l.take(len(m), token{kind: tokNoValue, value: math.NaN()})
}

// word takes the longest known word or pair of words.
func (l *lexer) word() bool {
	one := wordForm.FindString(l.rest)
	if one == "" {
		return false
	}
	if after := strings.TrimLeft(l.rest[len(one):], " "); after != "" {
		if two := wordForm.FindString(after); two != "" {
			end := len(l.rest) - len(after) + len(two)
			if t, ok := words[strings.ToLower(one+" "+two)]; ok {
				return l.take(end, t)
			}
		}
	}
	t, ok := words[strings.ToLower(one)]
	return ok && l.take(len(one), t)
}

// gap takes what separates two tokens: blanks, and at most one separator.
func (l *lexer) gap() error {
	before := len(l.rest)
	l.rest = strings.TrimLeft(l.rest, " ")
	if l.rest == "" {
		return nil
	}
	l.glue = len(l.rest) == before
	switch c := l.rest[0]; {
	case c == ':' || c == '=':
		if !l.last(tokLabel, tokTemp, tokMV, tokChannel) {
			return fmt.Errorf("%w: %q after something that is no label", meter.ErrNotReading, string(c))
		}
	case strings.IndexByte(",;\t|", c) >= 0:
		if l.sep != 0 && l.sep != c {
			return fmt.Errorf("%w: two kinds of separators", meter.ErrNotReading)
		}
		if c == ',' && l.mark == ',' {
			return fmt.Errorf("%w: a comma as decimal mark and as separator", meter.ErrNotReading)
		}
		l.sep = c
	default:
		return nil
	}
	l.rest, l.glue = strings.TrimLeft(l.rest[1:], " "), false
	return nil
}

func (l *lexer) last(kinds ...byte) bool {
	return len(l.out) > 0 && strings.IndexByte(string(kinds), l.out[len(l.out)-1].kind) >= 0
}

func alnum(c byte) bool {
	return c >= '0' && c <= '9' || c|0x20 >= 'a' && c|0x20 <= 'z'
}

// head is the beginning of s, for a message.
func head(s string) string {
	if len(s) > 12 {
		return s[:12] + "…"
	}
	return s
}
