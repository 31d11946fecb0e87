package frame

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"example.org/halfdrop/meter"
)

// Cut finds the first line in buf and says how many bytes it took with its
// terminator; n is 0 when there is no complete line. An empty terminator
// stands for CR or LF. Terminators at the front come as an empty line.
//
// When buf holds far more than MaxLine bytes without a terminator, the front
// of them comes as a line too long to be read, and enough is left for the rest
// to be too long as well.
func Cut(buf []byte, terminator string) (line []byte, n int) {
	at, size := end(buf, terminator)
	if n := block(buf); n > 0 && terminator == "" && (at < 0 || n <= at) {
		return buf[:n], n
	}
	switch {
	case at == 0:
		for at == 0 {
			n += size
			at, size = end(buf[n:], terminator)
		}
		return nil, n
	case at > 0:
		return buf[:at], at + size
	case len(buf) > 2*MaxLine:
		n = len(buf) - MaxLine
		return buf[:n], n
	}
	return nil, 0
}

// block is the length of a line that begins with STX up to its ETX, which ends
// it when no other terminator has; 0 when there is none.
func block(buf []byte) int {
	if len(buf) == 0 || buf[0]&0x7f != 0x02 {
		return 0
	}
	for i, c := range buf {
		if c&0x7f == 0x03 {
			return i + 1
		}
	}
	return 0
}

// end finds the first terminator in buf; at is -1 when there is none.
func end(buf []byte, terminator string) (at, size int) {
	if terminator != "" {
		return bytes.Index(buf, []byte(terminator)), len(terminator)
	}
	for i, c := range buf {
		// A terminator shows under its parity bit; no alphabet that a line may
		// hold has a letter at 0x8A or 0x8D.
		if c &= 0x7f; c == '\r' || c == '\n' {
			return i, 1
		}
	}
	return -1, 0
}

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
