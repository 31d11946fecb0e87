package frame

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/meter"
)

// The range in which a number can be a pH, a potential in mV or a temperature
// in °C of the solution. The scale of a working glass electrode is narrower;
// these bounds only tell a reading from something else (choice).
const (
	MinPH, MaxPH     = -2, 16
	MaxMV            = 2000
	MinTemp, MaxTemp = -10, 110
)

// MaxLine is the length of the longest line that is read, in bytes.
const MaxLine = 256

// Errors that are all meter.ErrNotReading.
var (
	ErrAmbiguous = fmt.Errorf("%w: either number could be the pH; a dialect file can say which", meter.ErrNotReading)
	ErrChecksum  = fmt.Errorf("%w: the checksum does not fit", meter.ErrNotReading)
	ErrTooLong   = fmt.Errorf("%w: longer than %d bytes", meter.ErrNotReading, MaxLine)
)

// Form is how a line was read: what a Guard compares from line to line.
type Form struct {
	Shape        string // name of the row of the table
	Quantity     meter.Quantity
	Decimals     int  // of the value
	TempDecimals int  // of the temperature, -1 without one
	Loose        bool // the number of decimals says nothing: JSON drops zeros
}

// Parse reads one line without its terminator. Line and the method of the same
// name of a Dialect are such.
type Parse func(line []byte) (Result, error)

// Result is a reading and the form in which it came. The time of the reading
// is for the caller to set.
type Result struct {
	Reading meter.Reading
	Form    Form
}

// Line reads one line, without its terminator, by the table of shapes. At is
// left for the caller to set. Raw of the reading is the line as text, also
// with an error. The errors are meter.ErrNotReading and meter.ErrImpossible.
func Line(line string) (meter.Reading, error) {
	r, err := Read([]byte(line))
	return r.Reading, err
}

// Read is Line with the form in which the reading came.
func Read(line []byte) (Result, error) {
	if len(line) >= MaxLine {
		return Result{Reading: meter.Reading{Raw: Printable(line[:MaxLine/4]) + "…"}}, ErrTooLong
	}
	raw := Printable(line)
	r, err := read(line)
	if err != nil {
		r = Result{}
	}
	r.Reading.Raw = raw
	return r, err
}

func read(line []byte) (Result, error) {
	s, err := Text(line)
	switch {
	case err != nil:
		return Result{}, err
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
	if err != nil {
		return Result{}, err
	}
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
	}
	return point, perr
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

// match compares a line of tokens with the table. Status words may stand
// anywhere; a word such as over stands beside the number or in its place.
func match(tokens []token) (Result, error) {
	var flags meter.Flags
	var kept, bare []token // without status words; without range words as well
	for _, t := range tokens {
		if t.kind == tokStatus {
			flags |= t.flags
			continue
		}
		kept = append(kept, t)
		if t.kind != tokRange {
			bare = append(bare, t)
		}
	}
	if flags.Has(meter.Stable | meter.Unstable) {
		return Result{}, fmt.Errorf("%w: stable and unstable at once", meter.ErrNotReading)
	}
	if len(bare) < len(kept) {
		if r, err := rows(bare, flags|ranges(kept)); err == nil {
			return r, nil
		}
	}
	return rows(kept, flags)
}

// ranges are the flags of the range words among the tokens.
func ranges(tokens []token) (f meter.Flags) {
	for _, t := range tokens {
		if t.kind == tokRange {
			f |= t.flags
		}
	}
	return f
}

// rows finds the row that the tokens fit.
func rows(tokens []token, flags meter.Flags) (Result, error) {
	err := fmt.Errorf("%w: no known line shape", meter.ErrNotReading)
	for _, core := range cores(tokens) {
		for _, shape := range shapes {
			v, ok := shape.fits(core)
			if !ok {
				continue
			}
			v.flags = flags
			var r Result
			if r, err = v.judge(shape.check); err == nil || isImpossible(err) {
				return r, err
			}
		}
	}
	return Result{}, err
}

// value is what a line holds, before it is judged.
type value struct {
	shape                 string
	ph, mv, temp          token
	hasPH, hasMV, hasTemp bool
	flags                 meter.Flags
	loose                 bool
}

// judge is result for numbers that must also satisfy check.
func (v value) judge(check func(ph, temp token) bool) (Result, error) {
	if check == nil || check(v.ph, v.temp) {
		return v.result()
	}
	if !couldBePH(v.ph) && !couldBePH(v.temp) {
		return Result{}, fmt.Errorf("%w: neither %g nor %g", meter.ErrImpossible, v.ph.value, v.temp.value)
	}
	return Result{}, ErrAmbiguous
}

// result judges the numbers and makes a reading of them.
func (v value) result() (Result, error) {
	r := meter.Reading{Flags: v.flags}
	form := Form{Shape: v.shape, TempDecimals: -1, Loose: v.loose}
	if v.hasMV {
		if v.mv.kind == tokNoValue || v.mv.kind != tokRange && math.Abs(v.mv.value) > MaxMV {
			return Result{}, fmt.Errorf("%w: mV out of ±%d", meter.ErrImpossible, MaxMV)
		}
		r.Quantity, r.Value, r.Decimals = meter.Millivolt, v.mv.number(), v.mv.decimals
		r.Flags |= v.mv.flags
	}
	if v.hasPH {
		if err := v.judgePH(); err != nil {
			return Result{}, err
		}
		if v.hasMV && v.mv.kind != tokRange {
			r.MV, r.HasMV = r.Value, true
		}
		r.Quantity, r.Value, r.Decimals = meter.PH, v.ph.number(), v.ph.decimals
		r.Flags |= v.ph.flags
	}
	form.Quantity, form.Decimals = r.Quantity, r.Decimals
	if v.hasTemp && v.temp.kind == tokInteger && v.temp.digits > 1 && v.temp.value < 10 {
		return Result{}, fmt.Errorf("%w: a temperature of two digits that begins with 0", meter.ErrNotReading)
	}
	if v.hasTemp {
		form.TempDecimals = v.temp.decimals
		switch {
		case v.temp.kind == tokNoValue: // dashes: it has no probe, and says so
		case couldBeTemp(v.temp.value):
			r.TempC, r.HasTemp = v.temp.value, true
		default:
			r.Flags |= meter.BadTemp
		}
	}
	return Result{Reading: r, Form: form}, nil
}

// judgePH reports whether the pH is a number that can be one. A pH without a
// decimal is no reading: it could be anything, and no meter fit for the work
// sends one. JSON is the exception, as it drops zeros.
func (v value) judgePH() error {
	switch t := v.ph; {
	case t.kind == tokRange:
		return nil
	case t.kind == tokNoValue:
		return fmt.Errorf("%w: the meter shows no value", meter.ErrImpossible)
	case !possiblePH(t.value):
		return fmt.Errorf("%w: %g", meter.ErrImpossible, t.value)
	case t.decimals == 0 && !v.loose:
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

func possiblePH(v float64) bool  { return v >= MinPH && v <= MaxPH }
func couldBeTemp(v float64) bool { return v >= MinTemp && v <= MaxTemp }
