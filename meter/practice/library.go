package practice

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"sync"
)

//go:embed exercises/*.toml
var files embed.FS

// ErrNone is returned for an exercise that does not exist.
var ErrNone = errors.New("no such exercise")

var built = sync.OnceValues(func() ([]*Exercise, error) {
	list, err := files.ReadDir("exercises")
	if err != nil {
		return nil, fmt.Errorf("practice: %w", err)
	}
	var out []*Exercise
	for _, f := range list {
		text, err := files.ReadFile("exercises/" + f.Name())
		if err != nil {
			return nil, fmt.Errorf("practice: %w", err)
		}
		e, err := Decode(f.Name(), text)
		if err != nil {
			return nil, fmt.Errorf("practice: %w", err)
		}
		out = append(out, e)
	}
	slices.SortFunc(out, func(a, b *Exercise) int {
		return cmp.Or(cmp.Compare(a.Level, b.Level), cmp.Compare(a.Number, b.Number))
	})
	return out, nil
})

// Exercises are those that the program brings, step by step.
func Exercises() ([]*Exercise, error) { return built() }

// Find is the exercise of that name, former name or number.
func Find(name string) (*Exercise, error) {
	all, err := Exercises()
	if err != nil {
		return nil, err
	}
	n, _ := strconv.Atoi(name)
	for _, e := range all {
		if e.Name == name || e.Formerly == name && name != "" || n > 0 && e.Number == n {
			return e, nil
		}
	}
	return nil, fmt.Errorf("practice: %w: %q", ErrNone, name)
}
