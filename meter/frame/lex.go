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
	tokNumber      = 'N' // a number with a sign, decimals or an exponent
	tokInteger     = 'I' // digits only
	tokNoValue     = 'Z' // NaN or dashes where a number should be
	tokLabel       = 'L' // pH
	tokMV          = 'M' // mV
	tokTemp        = 'T' // a label of a temperature
	tokUnit        = 'U' // °C, °F or K, by its text
	tokOther       = 'O' // the label or the unit of another quantity
	tokDate        = 'D'
	tokTime        = 'H'
	tokChannel     = 'K' // CH1
	tokOrdinal     = 'R' // #2, No. 2: a channel or a count
	tokStatus      = 'S' // a word of the meter about its reading
	tokRange       = 'X' // over, under or no electrode
	tokNoise       = 'W' // a word that says nothing: meas
	tokCalibration = 'B' // a word about a calibration
	tokHold        = 'F' // a word for a display that was stopped
)

// token is one piece of a line.
type token struct {
	kind     byte
	value    float64 // numbers
	decimals int     // numbers: digits after the mark, less the exponent
	digits   int     // numbers: digits before the mark
	flags    meter.Flags
	text     string // units: C, F or K; channels and ordinals: as sent
	binds    bool   // a : or = stands after the word: it names what follows
	small    bool   // numbers: a negative exponent
}

// isNumber reports whether the token stands where a number does.
func (t token) isNumber() bool { return strings.IndexByte("NIZX", t.kind) >= 0 }

var (
	dateForm  = regexp.MustCompile(`^(?:(?:19|20)\d\d([-/.])\d\d?[-/.]\d\d?|\d\d?([-/.])\d\d?[-/.](?:19|20)\d\d|\d\d?/\d\d?/\d\d)`)
	monthForm = regexp.MustCompile(`^(?:(?:\pL{2,3}\.?,? +)?\d\d?(?:st|nd|rd|th)?[-/. ]+(\pL{3,10})[-/., ]+(?:(?:19|20)\d\d|\d\d)|(?:\pL{2,3}\.? )?(\pL{3,10})[-/. ]+\d\d?,?[-/. ]+(?:19|20)\d\d)`)
	timeForms = map[byte]*regexp.Regexp{
		'.': regexp.MustCompile(`^T?\d\d?:\d\d(?::\d\d(?:\.\d{1,6})?)?(?:Z|[+-]\d\d:?\d\d)?(?: ?[AaPp][Mm]\b)?`),
		',': regexp.MustCompile(`^T?\d\d?:\d\d(?::\d\d(?:[.,]\d{1,6})?)?(?:Z|[+-]\d\d:?\d\d)?(?: ?[AaPp][Mm]\b)?`),
	}
	channelForm = regexp.MustCompile(`(?i)^(?:ch(?:an(?:nel)?)?|kanal|canal)\.?[ :]?(\d{1,3}|[A-H])`)
	ordinalForm = regexp.MustCompile(`(?i)^(?:no\.?[ :]?|nr\.?[ :]?|#)(\d{1,6})`)
	numberedPH  = regexp.MustCompile(`(?i)^ph ?\[?([1-8])\]?(?:[ :=]|$)`)
	numberForms = map[byte]*regexp.Regexp{
		'.': regexp.MustCompile(`^([+-] *)?(\d{1,9})(?:\.(\d{1,15}))?(?:[eE]([+-]?\d{1,3}))?`),
		',': regexp.MustCompile(`^([+-] *)?(\d{1,9})(?:,(\d{1,15}))?(?:[eE]([+-]?\d{1,3}))?`),
	}
	dashForm = regexp.MustCompile(`^-{2,6}(?:[.,]-{1,4})?`)
	wordForm = regexp.MustCompile(`^(?:%|/[AMam]/|\*|[\pL°µ]+(?:[-/][\pL]+)*\.?)`)
	headForm = regexp.MustCompile(`^:?(?:[A-Za-z]+:)+([A-Za-z]+)[ ]`)
)

// lexer cuts one line into tokens; mark is its decimal mark.
type lexer struct {
	rest string
	mark byte
	sep  byte // the separator other than blanks that this line uses, 0 until seen
	glue bool // nothing stands between the last token and the rest
	open int  // brackets that are open
	out  []token
}

// lex cuts s into tokens, with mark as the decimal mark. It fails on anything
// that is no token, on an empty field and on two kinds of separators.
func lex(s string, mark byte) ([]token, error) {
	l := lexer{rest: strings.TrimLeft(strings.TrimPrefix(s, ">"), " "), mark: mark}
	if err := l.bracket(); err != nil {
		return nil, err
	}
	for l.rest != "" {
		if err := l.token(); err != nil {
			return nil, err
		}
		if err := l.gap(); err != nil {
			return nil, err
		}
	}
	if l.open != 0 {
		return nil, fmt.Errorf("%w: an open bracket", meter.ErrNotReading)
	}
	return l.out, nil
}

// token takes one token from the front of the rest.
func (l *lexer) token() error {
	for _, try := range []func() bool{l.when, l.channel, l.numbered, l.header, l.number, l.dashes, l.word} {
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
	if n := l.month(); n > 0 {
		return l.take(n, token{kind: tokDate})
	}
	if m := dateForm.FindStringSubmatch(l.rest); m != nil {
		// A T joins a date to a time, anything else that goes on is no date.
		after := l.rest[len(m[0]):]
		if after == "" || !alnum(after[0]) || after[0] == 'T' {
			return l.take(len(m[0]), token{kind: tokDate})
		}
	}
	m := timeForms[l.mark].FindString(l.rest)
	if m == "" || m[0] == 'T' && !l.last(tokDate) {
		return false
	}
	if after := l.rest[len(m):]; after != "" && (alnum(after[0]) || after[0] == ':') {
		return false
	}
	return l.take(len(m), token{kind: tokTime})
}

// month is the length of a date with the name of a month at the front.
func (l *lexer) month() int {
	m := monthForm.FindStringSubmatch(l.rest)
	if m == nil || len(m[0]) < len(l.rest) && alnum(l.rest[len(m[0])]) {
		return 0
	}
	name := strings.ToLower(m[1] + m[2])
	for _, short := range monthNames {
		if strings.HasPrefix(name, short) {
			return len(m[0])
		}
	}
	return 0
}

// channel takes what names a channel, or counts.
func (l *lexer) channel() bool {
	kind, m := byte(tokChannel), channelForm.FindStringSubmatch(l.rest)
	if m == nil {
		kind, m = tokOrdinal, ordinalForm.FindStringSubmatch(l.rest)
	}
	if m == nil || len(m[0]) < len(l.rest) && (alnum(l.rest[len(m[0])]) || l.rest[len(m[0])] == '.') {
		return false
	}
	return l.take(len(m[0]), token{kind: kind, text: strings.ToUpper(m[1])})
}

// numbered takes a pH with the number of its channel: pH1.
func (l *lexer) numbered() bool {
	m := numberedPH.FindStringSubmatch(l.rest)
	if m == nil || !strings.HasPrefix(l.rest[2:], m[1]) && !strings.HasPrefix(l.rest[2:], "[") {
		return false // "pH 7.02" is a value and no channel
	}
	l.out = append(l.out, token{kind: tokChannel, text: m[1]})
	return l.take(len(strings.TrimRight(m[0], " :=")), token{kind: tokLabel})
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
	t.binds = true
	return l.take(len(m[0])-1, t)
}

func (l *lexer) number() bool {
	m := numberForms[l.mark].FindStringSubmatch(l.rest)
	if m == nil || l.glue && (l.unit() || l.last(tokNumber, tokInteger, tokNoValue, tokDate, tokTime, tokChannel, tokOrdinal)) {
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
	t := token{kind: tokNumber, value: v, decimals: max(0, len(decimals)-e), digits: len(whole), small: e < 0}
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
	if t, ok := firstWords[strings.ToLower(one)]; ok && !l.last(tokNumber, tokInteger) {
		return l.take(len(one), t)
	}
	if n := len(one) + 1; n <= len(l.rest) && (n == len(l.rest) || !alnum(l.rest[n]) && l.rest[n] != '.') {
		if t, ok := words[strings.ToLower(l.rest[:n])]; ok { // T1
			return l.take(n, t)
		}
	}
	t, ok := words[strings.ToLower(one)]
	if !ok { // the mark after a word may be the end of a sentence
		one = strings.TrimRight(one, ".")
		t, ok = words[strings.ToLower(one)]
	}
	return ok && l.take(len(one), t)
}

// gap takes what separates two tokens: blanks, brackets, and at most one separator.
func (l *lexer) gap() error {
	before := len(l.rest)
	l.rest = strings.TrimLeft(l.rest, " ")
	l.glue = len(l.rest) == before
	if err := l.bracket(); err != nil || l.rest == "" {
		return err
	}
	switch c := l.rest[0]; {
	case c == ':' || c == '=':
		if !l.last(tokLabel, tokTemp, tokMV, tokChannel, tokOrdinal, tokOther, tokUnit, tokNoise, tokCalibration) {
			return fmt.Errorf("%w: %q after something that is not a label", meter.ErrNotReading, string(c))
		}
		l.out[len(l.out)-1].binds = true
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
	return l.bracket()
}

// bracket takes brackets, which mean nothing but must be whole: one that opens
// in the middle of a number, or closes nothing, is damage.
func (l *lexer) bracket() error {
	for l.rest != "" && strings.IndexByte("()[]", l.rest[0]) >= 0 {
		c, next := l.rest[0], l.rest[1:]
		switch {
		case c == '(' || c == '[':
			if l.open > 0 || l.glue && l.last(tokNumber, tokInteger) || next == "" || next[0] == ')' || next[0] == ']' {
				return fmt.Errorf("%w: a bracket where none can be", meter.ErrNotReading)
			}
			l.open++
		case l.open == 0 || next != "" && alnum(next[0]):
			return fmt.Errorf("%w: a bracket that was not opened", meter.ErrNotReading)
		default:
			l.open--
		}
		l.rest, l.glue = strings.TrimLeft(next, " "), false
	}
	return nil
}

// unit reports whether the last token is a unit: no number is glued to one.
func (l *lexer) unit() bool {
	n := len(l.out)
	return n > 0 && (l.out[n-1].kind == tokUnit || l.out[n-1].kind == tokOther && l.out[n-1].text == "u")
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
