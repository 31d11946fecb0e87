package frame

import (
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/meter"
)

// Reader begins to read the lines of one connection. A nil Dialect reads words
// and units.
func (d *Dialect) Reader() *Reader { return &Reader{dialect: d} }

// Errors of a Reader for lines that are to be passed over in silence.
var (
	ErrSkip = errors.New("frame: a line to pass over")
	ErrMore = errors.New("frame: the record goes on")
)

// Reader reads lines in a dialect. It remembers the lines of a record that is
// to be joined. It is not safe for concurrent use.
type Reader struct {
	dialect *Dialect
	record  []string
	open    bool // a record has begun
}

// Read reads the next line. The errors ErrSkip and ErrMore are those of lines that are
// no fault. Raw of the reading is the line, or the record as one line.
func (r *Reader) Read(line []byte) (Result, error) {
	if r.dialect == nil {
		return Read(line)
	}
	if len(line) >= MaxLine {
		return Result{Reading: meter.Reading{Raw: Printable(line[:MaxLine/4]) + "…"}}, ErrTooLong
	}
	raw := Printable(line)
	text, err := r.dialect.text(line)
	if err == nil {
		raw = text
		text, err = r.join(text)
	}
	var out Result
	if err == nil {
		raw = text
		out, err = r.dialect.read(text)
	}
	if err != nil {
		out = Result{}
	}
	out.Reading.Raw = raw
	return out, err
}

// join collects the lines of a record.
func (r *Reader) join(text string) (string, error) {
	d := r.dialect
	for _, re := range d.skip {
		if re.MatchString(text) {
			return "", ErrSkip
		}
	}
	n := d.spec.JoinLines
	if d.from == nil && n == 0 {
		return text, nil
	}
	if d.from != nil && d.from.MatchString(text) || d.from == nil && !r.open {
		r.record, r.open = nil, true // one that did not end is given up
	}
	if !r.open {
		return "", ErrSkip
	}
	r.record = append(r.record, text)
	if ends := d.to != nil && d.to.MatchString(text) || n > 0 && len(r.record) == n; !ends {
		if len(r.record) >= maxJoin {
			r.record, r.open = nil, false
			return "", fmt.Errorf("%w: a record of more than %d lines", meter.ErrNotReading, maxJoin)
		}
		return "", ErrMore
	}
	whole := strings.Join(r.record, " ")
	r.record, r.open = nil, false
	return whole, nil
}
