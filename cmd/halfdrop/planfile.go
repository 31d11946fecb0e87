package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"reflect"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"github.com/pelletier/go-toml/v2"
)

// readPlan reads a plan file. Errors name file, line and column, and the
// nearest key that exists.
func readPlan(path string) (recipe.Plan, error) {
	data, err := planText(path)
	if err != nil {
		return recipe.Plan{}, err
	}
	return decodePlan(path, data)
}

// planText is the text of a plan file.
func planText(path string) ([]byte, error) {
	data, err := readText(path, maxPlan)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
		err = withHint(err, "a plan is a TOML file; halfdrop titrate --sim runs on a built-in one")
	}
	return data, err
}

// planPlaces finds the keys of a plan, for messages.
func planPlaces(data []byte) map[string]intake.Place {
	return intake.Places(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))
}

// gatePlan refuses what no bench has, with its place.
func gatePlan(name string, data []byte, p recipe.Plan) error {
	var bad intake.Faults
	if err := intake.Plan(p); !errors.As(err, &bad) {
		return emptyNames(name, data)
	}
	var lines, hints []string
	places := planPlaces(data)
	for _, f := range bad {
		at := intake.Nearest(places, f.Key)
		lines = append(lines, fmt.Sprintf("%s:%d:%d: %s: %s", name, at.Line, at.Column, f.Key, f.What))
		if f.Try != "" && !slices.Contains(hints, f.Try) {
			hints = append(hints, f.Try)
		}
	}
	return withHint(errors.New(strings.Join(lines, "\n")), hints...)
}

// emptyNames refuses names that are there and empty: a name that is left out is
// made by the program, one that is empty was meant to be something.
func emptyNames(name string, data []byte) error {
	var tree struct {
		Name     *string
		Titrants []struct{ Name *string } `toml:"titrant"`
	}
	if err := toml.Unmarshal(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), &tree); err != nil {
		return nil //nolint:nilerr // the strict decoder has said so
	}
	empty := ""
	if tree.Name != nil && *tree.Name == "" {
		empty = "name"
	}
	for i, t := range tree.Titrants {
		if t.Name != nil && *t.Name == "" && empty == "" {
			empty = fmt.Sprintf("titrant[%d].name", i+1)
		}
	}
	if empty == "" {
		return nil
	}
	at := intake.Nearest(planPlaces(data), empty)
	return withHint(fmt.Errorf("%s:%d:%d: %s: an empty name", name, at.Line, at.Column, empty), "give it a name, or leave the line out")
}

// decodePlan decodes a plan strictly; name stands for the file in messages.
func decodePlan(name string, data []byte) (recipe.Plan, error) {
	var p recipe.Plan
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	err := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields().Decode(&p)
	if err == nil {
		return p, gatePlan(name, data, p)
	}
	var strict *toml.StrictMissingError
	if errors.As(err, &strict) {
		return p, unknownKeys(name, strict)
	}
	var at *toml.DecodeError
	if errors.As(err, &at) {
		row, col := at.Position()
		what := strings.TrimPrefix(at.Error(), "toml: ")
		return p, withHint(fmt.Errorf("%s:%d:%d: %s", name, row, col, what), "a plan is written in TOML; a text value needs quotes, a number none")
	}
	return p, fmt.Errorf("%s: %w", name, err)
}

// unknownKeys says of every unknown key where it stands and what it may have
// been meant to be.
func unknownKeys(name string, strict *toml.StrictMissingError) error {
	var lines, hints []string
	for _, e := range strict.Errors {
		row, col := e.Position()
		key := e.Key()
		lines = append(lines, fmt.Sprintf("%s:%d:%d: unknown key %q", name, row, col, strings.Join(key, ".")))
		if near := nearestKey(key); near != "" {
			hints = append(hints, fmt.Sprintf("line %d: did you mean %q?", row, near))
		}
	}
	return withHint(errors.New(strings.Join(lines, "\n")), hints...)
}

// nearestKey is the known key in the same table that is least different.
func nearestKey(key []string) string {
	best, least := "", 1<<30
	for _, k := range keysOf(reflect.TypeOf(recipe.Plan{}), key[:len(key)-1]) {
		if d := editDistance(strings.ToLower(key[len(key)-1]), k); d < least {
			best, least = k, d
		}
	}
	return best
}

// keysOf lists the TOML keys of the table at path, or of the whole plan when
// there is no such table.
func keysOf(t reflect.Type, path []string) []string {
	top := t
	for _, name := range path {
		f, ok := fieldByKey(t, name)
		if !ok {
			t = top
			break
		}
		if t = f.Type; t.Kind() == reflect.Slice || t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
	}
	if t.Kind() != reflect.Struct {
		t = top
	}
	var keys []string
	for i := range t.NumField() {
		keys = append(keys, t.Field(i).Tag.Get("toml"))
	}
	return keys
}

func fieldByKey(t reflect.Type, key string) (reflect.StructField, bool) {
	if t.Kind() != reflect.Struct {
		return reflect.StructField{}, false
	}
	for i := range t.NumField() {
		if t.Field(i).Tag.Get("toml") == key {
			return t.Field(i), true
		}
	}
	return reflect.StructField{}, false
}

// editDistance counts the insertions, deletions and changes between two words.
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		prev := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			prev, row[j+1] = row[j+1], min(prev+cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
