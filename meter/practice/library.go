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
	slices.SortStableFunc(out, func(a, b *Exercise) int { return cmp.Compare(a.Level, b.Level) })
	return out, nil
})

// Exercises are those that the program brings, the easy ones first.
func Exercises() ([]*Exercise, error) { return built() }

// Find is the exercise of that name, or of that number in the list, from 1.
func Find(name string) (*Exercise, error) {
	all, err := Exercises()
	if err != nil {
		return nil, err
	}
	if n, err := strconv.Atoi(name); err == nil && n >= 1 && n <= len(all) {
		return all[n-1], nil
	}
	for _, e := range all {
		if e.Name == name {
			return e, nil
		}
	}
	return nil, fmt.Errorf("practice: %w: %q", ErrNone, name)
}
