package practice

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/textfile"
)

// FileError is a fault of an exercise file at its place.
type FileError struct {
	File      string
	Line, Col int    // from 1
	What      string // the key and what is wrong with it
	Try       string // what would help; may be empty
}

// Error is file, line and column, and what is wrong there.
func (e *FileError) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Col, e.What)
}

// Decode reads an exercise strictly: an unknown key, a missing one and a value
// that cannot be are errors, all of them with line and column. file stands for
// the file in messages. The error is one or several FileErrors, joined.
func Decode(file string, text []byte) (*Exercise, error) {
	text = textfile.Bare(text)
	e := &Exercise{Text: text}
	if err := textfile.Decode(file, text, e); err != nil {
		return nil, unreadable(err)
	}
	for _, p := range []*string{&e.Story, &e.Goal, &e.Learn, &e.Notes, &e.Teaches} {
		*p = strings.Join(strings.Fields(*p), " ")
	}
	sum := sha256.Sum256(text)
	e.Digest = hex.EncodeToString(sum[:6])
	c := checker{file: file, places: intake.Places(text), e: e}
	c.check()
	if len(c.errs) > 0 {
		return nil, errors.Join(c.errs...)
	}
	return e, nil
}

// unreadable names the keys that there are in the place of each unknown one, or what
// the decoder complains about.
func unreadable(err error) error {
	var bad textfile.Faults
	if !errors.As(err, &bad) {
		return err
	}
	var all []error
	for _, f := range bad {
		try := "text values need quotes, numbers do not; halfdrop practice --show NAME prints an exercise to start from"
		if f.Key != nil {
			try = "the keys here are " + strings.Join(f.Known, ", ")
		}
		all = append(all, &FileError{f.File, f.Line, f.Column, f.What, try})
	}
	return errors.Join(all...)
}

// checker judges what the decoder lets through.
type checker struct {
	file   string
	places map[string]intake.Place
	e      *Exercise
	errs   []error
}

// bad notes a fault at a key, or at the table that should hold it.
func (c *checker) bad(key, try, format string, a ...any) {
	what, at := fmt.Sprintf(format, a...), intake.Nearest(c.places, key)
	c.errs = append(c.errs, &FileError{c.file, at.Line, at.Column, key + ": " + what, try})
}

var goodName = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
