package practice

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// FileError is a fault of an exercise file at its place.
type FileError struct {
	File      string
	Line, Col int    // from 1
	What      string // the key and what is wrong with it
	Try       string // what would help; may be empty
}

func (e *FileError) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Col, e.What)
}

// Decode reads an exercise strictly: an unknown key, a missing one and a value
// that cannot be are errors, all of them with line and column. file stands for
// the file in messages. The error is one or several FileErrors, joined.
func Decode(file string, text []byte) (*Exercise, error) {
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	e := &Exercise{Text: text}
	err := toml.NewDecoder(bytes.NewReader(text)).DisallowUnknownFields().Decode(e)
	var strict *toml.StrictMissingError
	var at *toml.DecodeError
	switch {
	case errors.As(err, &strict):
		return nil, unknownKeys(file, strict)
	case errors.As(err, &at):
		line, col := at.Position()
		return nil, &FileError{file, line, col, strings.TrimPrefix(at.Error(), "toml: "), "a text value needs quotes, a number none; halfdrop practice --show NAME prints an exercise to begin with"}
	case err != nil:
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	for _, p := range []*string{&e.Story, &e.Goal, &e.Learn, &e.Notes, &e.Teaches} {
		*p = oneLine(*p)
	}
	sum := sha256.Sum256(text)
	e.Digest = hex.EncodeToString(sum[:6])
	c := checker{file: file, places: placesOf(text), e: e}
	c.check()
	if len(c.errs) > 0 {
		return nil, errors.Join(c.errs...)
	}
	return e, nil
}

// unknownKeys names the keys that there are in the place of each unknown one.
func unknownKeys(file string, strict *toml.StrictMissingError) error {
	var all []error
	for _, m := range strict.Errors {
		line, col := m.Position()
		key := m.Key()
		try := "the keys here are " + strings.Join(keysOf(key[:len(key)-1]), ", ")
		all = append(all, &FileError{file, line, col, fmt.Sprintf("unknown key %q", strings.Join(key, ".")), try})
	}
	return errors.Join(all...)
}

// keysOf are the keys of the table at a path, those of the file when there is
// no such table.
func keysOf(path []string) []string {
	top := reflect.TypeFor[Exercise]()
	t := top
	for _, name := range path {
		i := slices.Index(tags(t), name)
		if i < 0 {
			t = top
			break
		}
		for t = t.Field(i).Type; t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer; {
			t = t.Elem()
		}
	}
	return slices.DeleteFunc(tags(t), func(s string) bool { return s == "-" })
}

func tags(t reflect.Type) []string {
	if t.Kind() != reflect.Struct {
		return nil
	}
	out := make([]string, t.NumField())
	for i := range out {
		out[i] = t.Field(i).Tag.Get("toml")
	}
	return out
}

// place is where a key stands.
type place struct{ line, col int }

// placesOf finds every key of the text: "plan.titrant[1].molar".
func placesOf(text []byte) map[string]place {
	out := map[string]place{}
	count := map[string]int{}
	var p unstable.Parser
	p.Reset(text)
	prefix := ""
	for p.NextExpression() {
		n := p.Expression()
		var parts []string
		at := place{}
		for it := n.Key(); it.Next(); {
			k := it.Node()
			if at.line == 0 {
				start := p.Shape(k.Raw).Start
				at = place{start.Line, start.Column}
			}
			parts = append(parts, string(k.Data))
		}
		key := strings.Join(parts, ".")
		switch n.Kind {
		case unstable.Table:
			prefix = key + "."
			out[key] = at
		case unstable.ArrayTable:
			count[key]++
			key = fmt.Sprintf("%s[%d]", key, count[key])
			prefix = key + "."
			out[key] = at
		case unstable.KeyValue:
			out[prefix+key] = at
		}
	}
	return out
}

// checker judges what the decoder lets through.
type checker struct {
	file   string
	places map[string]place
	e      *Exercise
	errs   []error
}

// bad notes a fault at a key, or at the table that should hold it.
func (c *checker) bad(key, try, format string, a ...any) {
	what, at := fmt.Sprintf(format, a...), place{1, 1}
	for k := key; ; {
		if p, ok := c.places[k]; ok && p.line > 0 {
			at = p
			break
		}
		i := strings.LastIndexByte(k, '.')
		if i < 0 {
			break
		}
		k = k[:i]
	}
	c.errs = append(c.errs, &FileError{c.file, at.line, at.col, key + ": " + what, try})
}

var goodName = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
