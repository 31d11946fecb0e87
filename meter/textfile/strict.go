package textfile

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"example.org/halfdrop/meter/phrase"
)

// Fault is what keeps a TOML file from being read, at its place.
type Fault struct {
	File         string
	Line, Column int // from 1
	What         string
	Key          []string // of a key that means nothing, with the tables it stands in; nil for any other fault
	Known        []string // the keys of that table, or of the file when there is no such table
}

// Error is file:line:column: what is wrong.
func (f *Fault) Error() string { return fmt.Sprintf("%s:%d:%d: %s", f.File, f.Line, f.Column, f.What) }

// Near is the known key that an unknown one is the least slips away from.
func (f *Fault) Near() string { return Nearest(f.Key[len(f.Key)-1], f.Known) }

// Nearest is the word of a list that takes the fewest changes of letters, the
// first of several; empty for an empty list.
func Nearest(s string, list []string) (best string) {
	least := -1
	for _, w := range list {
		if d := phrase.Slips(strings.ToLower(s), w); least < 0 || d < least {
			best, least = w, d
		}
	}
	return best
}

// Faults are those of one file: of unknown keys all, of others the first.
type Faults []*Fault

// Error is a line for each.
func (f Faults) Error() string {
	return strings.Join(phrase.Each(f, (*Fault).Error), "\n")
}

// mark is what some editors put before a text in UTF-8.
var mark = []byte("\xef\xbb\xbf")

// Bare is a text without a byte order mark.
func Bare(text []byte) []byte { return bytes.TrimPrefix(text, mark) }

// Decode decodes TOML into the struct that v points to, and takes no key that it
// does not have. file stands for the file in messages; what has a place is Faults.
func Decode(file string, text []byte, v any) error {
	err := toml.NewDecoder(bytes.NewReader(Bare(text))).DisallowUnknownFields().Decode(v)
	var strict *toml.StrictMissingError
	var at *toml.DecodeError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &strict):
		return unknown(file, strict, reflect.TypeOf(v).Elem())
	case errors.As(err, &at):
		line, column := at.Position()
		return Faults{{File: file, Line: line, Column: column, What: spoken(at)}}
	}
	return fmt.Errorf("%s: %w", file, err)
}

// wrongKind is how the decoder says that a value is of another kind than its key takes.
var wrongKind = regexp.MustCompile(`^cannot decode TOML (.+) into (?:struct field )?.*of type (\S+)$`)

// spoken is what the decoder found wrong, without the types of the program.
func spoken(at *toml.DecodeError) string {
	text := strings.TrimPrefix(at.Error(), "toml: ")
	m := wrongKind.FindStringSubmatch(text)
	switch {
	case m != nil:
		kinds := map[string]string{"integer": "a number", "float": "a number", "string": "text in quotes", "boolean": "true or false", "array": "a list in [ ]"}
		said := cmp.Or(kinds[m[1]], "a "+m[1]) + " stands where " + wanted(m[2]) + " is wanted"
		if key := at.Key(); len(key) > 0 {
			return strings.Join(key, ".") + ": " + said
		}
		return said
	case strings.HasSuffix(text, "got U+002C ','"):
		return "a comma where the line should end: a number has a decimal point"
	}
	return text
}

// wanted is what a field of a type takes.
func wanted(field string) string {
	switch {
	case strings.HasPrefix(field, "float") || strings.HasPrefix(field, "int") || strings.HasPrefix(field, "uint"):
		return "a number"
	case field == "string":
		return "text in quotes"
	case field == "bool":
		return "true or false"
	case strings.HasPrefix(field, "["):
		return "a list"
	}
	return "a table"
}

// unknown are the keys that mean nothing, each with those that would.
func unknown(file string, strict *toml.StrictMissingError, t reflect.Type) Faults {
	var out Faults
	for _, m := range strict.Errors {
		line, column := m.Position()
		key := m.Key()
		out = append(out, &Fault{file, line, column, fmt.Sprintf("unknown key %q", strings.Join(key, ".")), slices.Clone(key), keysOf(t, key[:len(key)-1])})
	}
	return out
}

// keysOf are the keys of the table at a path, those of the file when there is no
// such table.
func keysOf(file reflect.Type, path []string) []string {
	t := file
	for _, name := range path {
		i := slices.Index(tags(t), name)
		if i < 0 {
			t = file
			break
		}
		for t = t.Field(i).Type; t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer; {
			t = t.Elem()
		}
	}
	if t.Kind() != reflect.Struct {
		t = file
	}
	return slices.DeleteFunc(tags(t), func(s string) bool { return s == "-" || s == "" })
}

// tags are the keys of the fields of a struct, in their order; nil for any other type.
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

// Quoted is a TOML basic string.
func Quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
