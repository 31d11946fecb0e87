package serial

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/textfile"
)

// dialect is the file of a meter that needs words of its own; WriteDialect
// writes one with all keys explained. Every key may be missing. Without columns
// or a pattern the words and units of the lines are read.
type dialect struct {
	Port       *string  `toml:"port"`
	Baud       *int     `toml:"baud"`
	Frame      *string  `toml:"frame"`
	Terminator *string  `toml:"terminator"`
	Query      *string  `toml:"query"`
	Interval   *float64 `toml:"interval_s"`
	Decimal    *string  `toml:"decimal"`
	frame.Spec
}

// FileError is a fault in a file, with its place.
type FileError struct {
	File         string
	Line, Column int // from 1; 0 when the fault has no place
	Err          error
}

// Error is file:line:column: what is wrong.
func (e *FileError) Error() string {
	if e.Line == 0 {
		return fmt.Sprintf("%s: %v", e.File, e.Err)
	}
	return fmt.Sprintf("%s:%d:%d: %v", e.File, e.Line, e.Column, e.Err)
}

// Unwrap is what is wrong, without the place.
func (e *FileError) Unwrap() error { return e.Err }

// ParseDialect reads a dialect file and sets what it says in c. file is the
// name for messages. Errors are *FileError.
func ParseDialect(file string, data []byte, c *Config) error {
	data = textfile.Bare(data)
	var d dialect
	if err := textfile.Decode(file, data, &d); err != nil {
		return decodeError(file, err)
	}
	next := *c
	if key, err := d.apply(&next); err != nil {
		line, column := place(data, key)
		return &FileError{File: file, Line: line, Column: column, Err: err}
	}
	*c = next
	return nil
}

// decodeError puts what the decoder complains about into the words of a dialect.
func decodeError(file string, err error) error {
	var bad textfile.Faults
	if !errors.As(err, &bad) {
		return &FileError{File: file, Err: err}
	}
	f := bad[0]
	what := errors.New(f.What)
	if f.Key != nil {
		what = fmt.Errorf("%s; did you mean %q?", f.What, textfile.Nearest(f.Key[0], DialectKeys))
	}
	return &FileError{File: file, Line: f.Line, Column: f.Column, Err: what}
}

// Limits of the texts in a dialect file, in bytes.
const (
	maxName  = 60
	maxQuery = 100
	maxEnd   = 8
)

// apply sets what the dialect says. With an error, key is the one at fault.
func (d *dialect) apply(c *Config) (key string, err error) {
	if len(d.Name) > maxName || strings.ContainsFunc(d.Name, unicode.IsControl) {
		return "name", fmt.Errorf("name: must be a name of at most %d bytes without control characters", maxName)
	}
	if d.Port != nil && c.Name == "" {
		if c.Name = *d.Port; c.Name == "" || strings.ContainsFunc(c.Name, unicode.IsControl) {
			return "port", fmt.Errorf("port: %q is not the name of a port", c.Name)
		}
	}
	if d.Baud != nil {
		if c.Baud = *d.Baud; !aSpeed(c.Baud) {
			return "baud", fmt.Errorf("baud: %d is not a speed that meters use", c.Baud)
		}
	}
	if d.Frame != nil {
		if err := c.SetFrame(strings.ToUpper(*d.Frame)); err != nil {
			return "frame", fmt.Errorf("frame: %w", err)
		}
	}
	if d.Terminator != nil {
		switch c.Terminator = *d.Terminator; {
		case c.Terminator == "":
			return "terminator", errors.New("terminator: is empty; leave the key out for CR or LF")
		case len(c.Terminator) > maxEnd:
			return "terminator", fmt.Errorf("terminator: %d bytes; at most %d are possible", len(c.Terminator), maxEnd)
		}
	}
	if d.Query != nil {
		if c.Query = *d.Query; len(c.Query) > maxQuery {
			return "query", fmt.Errorf("query: %d bytes; at most %d are possible", len(c.Query), maxQuery)
		}
	}
	if d.Interval != nil {
		if s := *d.Interval; !(s >= 0.05 && s <= 3600) { // also refuses nan
			return "interval_s", fmt.Errorf("interval_s: %g s; 0.05 to 3600 are possible", s)
		}
		c.Interval = time.Duration(*d.Interval * float64(time.Second))
	}
	return d.applyLines(c)
}

// applyLines sets how lines are read.
func (d *dialect) applyLines(c *Config) (key string, err error) {
	if d.Decimal != nil && *d.Decimal != "comma" && *d.Decimal != "point" {
		return "decimal", fmt.Errorf("decimal: %q is neither \"point\" nor \"comma\"", *d.Decimal)
	}
	if slices.Contains(d.Skip, "") {
		return "skip", errors.New("skip: an empty pattern would pass over every line; leave it out")
	}
	s := d.Spec
	s.Name, s.Comma = cmp.Or(s.Name, "of the dialect file"), d.Decimal != nil && *d.Decimal == "comma"
	f, err := frame.NewDialect(s)
	var fault *frame.SpecError
	if errors.As(err, &fault) {
		return fault.Key, err
	}
	if err == nil && says(s) {
		c.Dialect = f
	}
	c.Channel = cmp.Or(d.Channel, c.Channel)
	return "", err
}

// says reports whether a description says anything about the lines.
func says(s frame.Spec) bool {
	return len(s.Drop)+len(s.Skip)+len(s.Months)+len(s.Words)+len(s.Columns)+s.JoinLines > 0 ||
		s.JoinFrom != "" || s.Checksum != "" || s.Pattern != ""
}

// place is where a key stands in the file: the decoder does not keep it.
func place(data []byte, key string) (line, column int) {
	form := regexp.MustCompile(`(?i)^\s*["']?` + regexp.QuoteMeta(key) + `["']?\s*=`)
	for i, l := range strings.Split(string(data), "\n") {
		if form.MatchString(l) {
			return i + 1, len(l) - len(strings.TrimLeft(l, " \t")) + 1
		}
	}
	return 0, 0
}
