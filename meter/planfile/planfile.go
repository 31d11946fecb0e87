// Package planfile reads and writes plans: TOML, strict, every fault with its line
// and column and what to try; and it has the two plans that are built in.
package planfile

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/textfile"
	"github.com/pelletier/go-toml/v2"
)

// readText is the text of a plan file.
func readText(path string) ([]byte, error) {
	data, err := textfile.Read(path, textfile.MaxPlan)
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
		err = remedy.With(err, "a plan is a TOML file; halfdrop titrate --sim runs on a built-in one")
	}
	return data, err
}

// placesOf finds the keys of a plan, for messages.
func placesOf(data []byte) map[string]intake.Place {
	return intake.Places(textfile.Bare(data))
}

// gate refuses what no bench has, with its place.
func gate(name string, data []byte, p recipe.Plan) error {
	var bad intake.Faults
	if err := intake.Plan(p); !errors.As(err, &bad) {
		return emptyNames(name, data)
	}
	var lines, hints []string
	places := placesOf(data)
	for _, f := range bad {
		at := intake.Nearest(places, f.Key)
		lines = append(lines, fmt.Sprintf("%s:%d:%d: %s: %s", name, at.Line, at.Column, f.Key, f.What))
		if f.Try != "" && !strings.Contains(f.What, f.Try) && !slices.Contains(hints, f.Try) {
			hints = append(hints, f.Try)
		}
	}
	return remedy.Call(errors.New(strings.Join(lines, "\n")), hints...)
}

// emptyNames refuses names that are there and empty: a name that is left out is
// made by the program, one that is empty was meant to be something.
func emptyNames(name string, data []byte) error {
	var tree struct {
		Name     *string
		Titrants []struct{ Name *string } `toml:"titrant"`
	}
	if err := toml.Unmarshal(textfile.Bare(data), &tree); err != nil {
		return nil //nolint:nilerr // the strict decoder has said so
	}
	empty := ""
	for i, t := range slices.Backward(tree.Titrants) {
		if t.Name != nil && *t.Name == "" {
			empty = fmt.Sprintf("titrant[%d].name", i+1)
		}
	}
	if tree.Name != nil && *tree.Name == "" {
		empty = "name"
	}
	if empty == "" {
		return nil
	}
	at := intake.Nearest(placesOf(data), empty)
	return remedy.Call(fmt.Errorf("%s:%d:%d: %s: an empty name", name, at.Line, at.Column, empty), "give it a name, or leave the line out")
}

// Decode decodes a plan strictly; name stands for the file in messages.
func Decode(name string, data []byte) (recipe.Plan, error) {
	var p recipe.Plan
	err := textfile.Decode(name, data, &p)
	var bad textfile.Faults
	switch {
	case err == nil:
		return p, gate(name, data, p)
	case !errors.As(err, &bad):
		return p, err
	}
	var hints []string
	for _, f := range bad {
		if f.Key == nil {
			return p, remedy.Call(err, "a plan is written in TOML; a text value needs quotes, a number none")
		}
		hints = append(hints, fmt.Sprintf("line %d: did you mean %q?", f.Line, f.Near()))
	}
	return p, remedy.Call(err, hints...)
}
