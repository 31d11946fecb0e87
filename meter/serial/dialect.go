package serial

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"example.org/halfdrop/meter/frame"
)

// dialect is the file of a meter that needs words of its own:
//
//	name = "the old one in the corner"
//	baud = 2400
//	frame = "7E1"
//	terminator = "\r"
//	query = "?\r"
//	interval_s = 2
//	pattern = 'R(?P<ph>\d+,\d+)/(?P<temp>\d+,\d)'
//	decimal = "comma"
//
// Every key may be missing. Without a pattern the table of line shapes reads.
type dialect struct {
	Name       *string  `toml:"name"`
	Baud       *int     `toml:"baud"`
	Frame      *string  `toml:"frame"`
	Terminator *string  `toml:"terminator"`
	Query      *string  `toml:"query"`
	Interval   *float64 `toml:"interval_s"`
	Pattern    *string  `toml:"pattern"`
	Decimal    *string  `toml:"decimal"`
}

var dialectKeys = []string{"name", "baud", "frame", "terminator", "query", "interval_s", "pattern", "decimal"}

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
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	var d dialect
	if err := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields().Decode(&d); err != nil {
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

// decodeError finds the place of what the decoder complains about.
func decodeError(file string, err error) error {
	var strict *toml.StrictMissingError
	if errors.As(err, &strict) && len(strict.Errors) > 0 {
		first := strict.Errors[0]
		line, column := first.Position()
		key := strings.Join(first.Key(), ".")
		return &FileError{File: file, Line: line, Column: column,
			Err: fmt.Errorf("unknown key %q; did you mean %q?", key, nearest(key, dialectKeys))}
	}
	var decode *toml.DecodeError
	if errors.As(err, &decode) {
		line, column := decode.Position()
		return &FileError{File: file, Line: line, Column: column, Err: errors.New(strings.TrimPrefix(decode.Error(), "toml: "))}
	}
	return &FileError{File: file, Err: err}
}

// apply sets what the dialect says. With an error, key is the one at fault.
func (d *dialect) apply(c *Config) (key string, err error) {
	name := "dialect file"
	if d.Name != nil {
		name = *d.Name
	}
	if d.Baud != nil {
		if c.Baud = *d.Baud; c.Baud < 50 || c.Baud > 4_000_000 {
			return "baud", fmt.Errorf("baud: %d is no speed of a meter", c.Baud)
		}
	}
	if d.Frame != nil {
		if err := c.SetFrame(strings.ToUpper(*d.Frame)); err != nil {
			return "frame", fmt.Errorf("frame: %w", err)
		}
	}
	if d.Terminator != nil {
		if c.Terminator = *d.Terminator; c.Terminator == "" {
			return "terminator", errors.New("terminator: is empty; leave the key out for CR or LF")
		}
	}
	if d.Query != nil {
		c.Query = *d.Query
	}
	if d.Interval != nil {
		if s := *d.Interval; !(s >= 0.05 && s <= 3600) { // also refuses nan
			return "interval_s", fmt.Errorf("interval_s: %g s; 0.05 to 3600 are possible", s)
		}
		c.Interval = time.Duration(*d.Interval * float64(time.Second))
	}
	return d.applyPattern(name, c)
}

func (d *dialect) applyPattern(name string, c *Config) (key string, err error) {
	if d.Decimal != nil && *d.Decimal != "comma" && *d.Decimal != "point" {
		return "decimal", fmt.Errorf("decimal: %q is neither \"point\" nor \"comma\"", *d.Decimal)
	}
	if d.Pattern == nil {
		if d.Decimal != nil {
			return "decimal", errors.New("decimal: has a meaning only with a pattern")
		}
		return "", nil
	}
	f, err := frame.NewDialect(name, *d.Pattern, d.Decimal != nil && *d.Decimal == "comma")
	if err != nil {
		return "pattern", err
	}
	c.Parse = f.Read
	return "", nil
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

// nearest is the word of the list that takes the fewest changes of letters.
func nearest(s string, list []string) (best string) {
	least := -1
	for _, w := range list {
		if d := distance(strings.ToLower(s), w); least < 0 || d < least {
			best, least = w, d
		}
	}
	return best
}

// distance is the number of letters to change, drop or put in (Levenshtein).
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
