package frame

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"

	"example.org/halfdrop/meter"
)

// The range in which a number can be a pH, a potential in mV or a temperature
// in °C of what stands in a beaker. The scale of a working glass electrode is
// narrower; these bounds only tell a reading from something else (choice).
const (
	MinPH, MaxPH     = -2, 16
	maxMV            = 2000
	MinTemp, MaxTemp = 0, 60
	maxUnnamedTemp   = 140 // a label without a unit: °F up to here
)

// MaxLine is the length from which on a line is given up, in bytes.
const MaxLine = 256

// Errors that are all meter.ErrNotReading.
var (
	ErrAmbiguous   = fmt.Errorf("%w: its words can be read in two ways", meter.ErrNotReading)
	ErrUnnamed     = fmt.Errorf("%w: nothing says which number is the pH", meter.ErrNotReading)
	ErrChecksum    = fmt.Errorf("%w: the checksum does not fit", meter.ErrNotReading)
	ErrTooLong     = fmt.Errorf("%w: longer than %d bytes", meter.ErrNotReading, MaxLine-1)
	ErrCalibration = fmt.Errorf("%w: a line about a calibration", meter.ErrNotReading)
	ErrHeld        = fmt.Errorf("%w: the display is on hold", meter.ErrNotReading)
	ErrChannels    = fmt.Errorf("%w: more than one channel speaks", meter.ErrNotReading)
)

// Form is how a line was read: what a Guard compares from line to line.
type Form struct {
	Shape        string // what stands on the line, in words
	Layout       string // the kinds of its pieces, a letter each
	Quantity     meter.Quantity
	Decimals     int  // of the value
	TempDecimals int  // of the temperature, -1 without one
	Loose        bool // the number of decimals says nothing: JSON drops zeros
}

// Result is a reading and the form in which it came. The time of the reading
// is for the caller to set.
type Result struct {
	Reading  meter.Reading
	Form     Form
	Ordinal  string // a number in front that counts or names a channel, as sent
	Labelled bool   // only a label says that the temperature is one, and no unit
}

// Read reads one line, without its terminator, by its words and units, and says in what
// form the reading came. At of the reading is left for the caller to set; Raw is the line
// as text, also with an error. The errors are meter.ErrNotReading and meter.ErrImpossible.
func Read(line []byte) (Result, error) {
	if len(line) >= MaxLine {
		return Result{Reading: meter.Reading{Raw: Printable(line[:MaxLine/4]) + "…"}}, ErrTooLong
	}
	s, err := Text(line)
	var r Result
	if err == nil {
		r, err = readText(s)
	}
	if err != nil {
		r = Result{}
	}
	r.Reading.Raw = Printable(line)
	return r, err
}

// readText reads a line by its words and units.
func readText(s string) (Result, error) {
	switch {
	case s == "":
		return Result{}, fmt.Errorf("%w: an empty line", meter.ErrNotReading)
	case s[0] == '{':
		return object(s)
	case s[0] == '$':
		return sentence(s)
	}
	return plain(s)
}

// plain reads a line with a point as decimal mark, then with a comma; at most
// one of the two may make sense.
func plain(s string) (Result, error) {
	s, err := unquote(s)
	if err == nil {
		s, err = unsummed(s)
	}
	if err != nil {
		return Result{}, err
	}
	r, err := eitherMark(s)
	if err != nil && aboutCalibration(s) {
		return Result{}, ErrCalibration
	}
	return r, err
}

// aboutCalibration reports whether a line has a word about calibrations.
func aboutCalibration(s string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if words[w].kind == tokCalibration {
			return true
		}
	}
	return false
}

// eitherMark tries both decimal marks.
func eitherMark(s string) (Result, error) {
	point, perr := marked(s, '.')
	if strings.IndexByte(s, ',') < 0 {
		return point, perr
	}
	comma, cerr := marked(s, ',')
	switch {
	case perr == nil && cerr == nil:
		return Result{}, ErrAmbiguous
	case cerr == nil || perr != nil && isImpossible(cerr) && !isImpossible(perr):
		return comma, cerr
	case errors.Is(cerr, ErrUnnamed) && !isImpossible(perr):
		return Result{}, cerr
	}
	return point, perr
}

// unsummed removes a checksum in the manner of NMEA 0183 from the end of a
// line: a star and the exclusive-or of all bytes before it in two hexadecimal digits.
func unsummed(s string) (string, error) {
	i := len(s) - 3
	if i < 1 || s[i] != '*' {
		return s, nil
	}
	want, err := strconv.ParseUint(s[i+1:], 16, 8)
	if err != nil {
		return s, nil
	}
	if byte(want) != Checksum(s[:i]) {
		return "", ErrChecksum
	}
	return s[:i], nil
}

// unquote removes the quotation marks around the fields of a record.
func unquote(s string) (string, error) {
	switch n := strings.Count(s, `"`); {
	case n == 0:
		return s, nil
	case n%2 != 0:
		return "", fmt.Errorf("%w: an open quotation mark", meter.ErrNotReading)
	}
	return strings.ReplaceAll(s, `"`, ""), nil
}

func marked(s string, mark byte) (Result, error) {
	tokens, err := lex(s, mark)
	if err != nil {
		return Result{}, err
	}
	return match(tokens)
}

// match makes a reading of the tokens of a line. Status words may stand
// anywhere; a word such as over stands beside the number or in its place.
func match(tokens []token) (Result, error) {
	p, err := partsOf(tokens)
	if err != nil {
		return Result{}, err
	}
	if p.ranged {
		if r, err := p.reading(p.bare); err == nil {
			r.Reading.Flags |= p.ranges
			return r, nil
		}
	}
	return p.reading(p.kept)
}

// reading makes a reading of the words and numbers among the parts of a line.
func (p parts) reading(tokens []token) (Result, error) {
	fields, err := fieldsOf(tokens)
	if err != nil {
		return Result{}, err
	}
	v, err := valueOf(fields)
	if err != nil {
		return Result{}, err
	}
	switch {
	case !v.hasPH && !v.hasMV:
		return Result{}, fmt.Errorf("%w: neither pH nor mV", meter.ErrNotReading)
	case v.guessed && p.plain:
		return Result{}, ErrUnnamed
	}
	v.flags = p.flags
	r, err := v.result()
	r.Reading.Channel, r.Ordinal, r.Form.Layout = p.channel, cmp.Or(p.ordinal, v.ordinal), layout(tokens)
	return r, err
}

// layout is the kinds of tokens in a row; integers and numbers are one kind.
func layout(tokens []token) string {
	b := make([]byte, len(tokens))
	for i, t := range tokens {
		if b[i] = t.kind; t.isNumber() {
			b[i] = tokNumber
		}
	}
	return string(b)
}

// value is what a line holds, before it is judged.
type value struct {
	shape                 string
	ph, mv, temp          token
	hasPH, hasMV, hasTemp bool
	unit                  string // of the temperature: C, F or K; empty when only a label says that it is one
	flags                 meter.Flags
	loose                 bool
	channel               string // in JSON
	ordinal               string // a small whole number without a name
	guessed               bool   // the pH is the only number, and nobody has named it
	unnamed               int    // numbers without a name that are not used
}

// result judges the numbers and makes a reading of them.
func (v value) result() (Result, error) {
	r := meter.Reading{Flags: v.flags}
	form := Form{Shape: v.shape, TempDecimals: -1, Loose: v.loose}
	if v.hasMV {
		if v.mv.kind == tokNoValue || v.mv.kind != tokRange && math.Abs(v.mv.value) > maxMV {
			return Result{}, fmt.Errorf("%w: mV out of ±%d", meter.ErrImpossible, maxMV)
		}
		r.Quantity, r.Value, r.Decimals = meter.Millivolt, v.mv.number(), v.mv.decimals
		r.Flags |= v.mv.flags
	}
	if v.hasPH {
		if err := judgePH(v.ph, v.loose); err != nil {
			return Result{}, err
		}
		if v.hasMV && v.mv.kind != tokRange {
			r.MV, r.HasMV = r.Value, true
		}
		r.Quantity, r.Value, r.Decimals = meter.PH, v.ph.number(), v.ph.decimals
		r.Flags |= v.ph.flags
	}
	form.Quantity, form.Decimals = r.Quantity, r.Decimals
	if v.unnamed > 0 {
		r.Flags |= meter.Unnamed
	}
	out := Result{Reading: r, Form: form, Labelled: v.hasTemp && v.unit == ""}
	if !v.hasTemp {
		return out, nil
	}
	if v.temp.kind == tokInteger && v.temp.digits > 1 && v.temp.value < 10 {
		return Result{}, fmt.Errorf("%w: a temperature of two digits that begins with 0", meter.ErrNotReading)
	}
	out.Form.TempDecimals = v.temp.decimals
	v.judgeTemp(&out.Reading)
	return out, nil
}

// judgeTemp puts the temperature into the reading, in °C. One that cannot be
// that of a beaker is none; where only a label says that it is a temperature,
// it may be one in °F, and says nothing against the meter.
func (v value) judgeTemp(r *meter.Reading) {
	t := v.temp.value
	switch v.unit {
	case "F":
		t = math.Round((t-32)/1.8*100) / 100
	case "K":
		t = math.Round((t-273.15)*100) / 100
	}
	switch {
	case v.temp.kind == tokNoValue: // dashes: it has no probe, and says so
	case t >= MinTemp && t <= MaxTemp:
		r.TempC, r.HasTemp = t, true
	case v.unit == "" && t > MaxTemp && t <= maxUnnamedTemp:
		r.TempC, r.Flags = t, r.Flags|meter.NoTemp
	default:
		r.Flags |= meter.BadTemp
	}
}

// judgePH reports whether the pH is a number that can be one. A pH without a
// decimal is no reading: it could be anything, and no meter fit for the work
// sends one. Loose is for JSON, which drops zeros.
func judgePH(t token, loose bool) error {
	switch {
	case t.kind == tokRange:
		return nil
	case t.kind == tokNoValue:
		return fmt.Errorf("%w: the meter shows no value", meter.ErrImpossible)
	case !possiblePH(t.value):
		return fmt.Errorf("%w: %g", meter.ErrImpossible, t.value)
	case t.decimals == 0 && !loose:
		return fmt.Errorf("%w: a pH without decimals", meter.ErrNotReading)
	}
	return nil
}

// number is the value of a token, NaN when it stands for none.
func (t token) number() float64 {
	if t.kind == tokRange {
		return math.NaN()
	}
	return t.value
}

func possiblePH(v float64) bool { return v >= MinPH && v <= MaxPH }
