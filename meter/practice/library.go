package practice

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.org/halfdrop/meter/phrase"
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

// Figures of judgement, a choice of this project.
const (
	aSlip    = 4 // letters of a name for each that may be wrong
	mostLike = 3 // names that are offered
)

// Like are the names of exercises that somebody may have meant who wrote another: by a slip of
// the pen first, then those that contain what was written.
func Like(name string) (out []string) {
	all, err := Exercises()
	if err != nil {
		return nil
	}
	name = strings.ToLower(strings.Join(strings.FieldsFunc(name, func(r rune) bool { return r == ' ' || r == '_' || r == '-' }), "-"))
	if len(name) < aSlip-1 {
		return nil
	}
	slips := map[string]int{}
	for _, e := range all {
		d := phrase.Slips(name, e.Name)
		if strings.ReplaceAll(name, "-", "") == strings.ReplaceAll(e.Name, "-", "") {
			d = 0
		}
		switch {
		case d <= max(1, min(len(name), len(e.Name))/aSlip):
			slips[e.Name] = d
		case strings.Contains(e.Name, name):
			slips[e.Name] = len(e.Name)
		default:
			continue
		}
		out = append(out, e.Name)
	}
	slices.SortStableFunc(out, func(a, b string) int { return cmp.Compare(slips[a], slips[b]) })
	return out[:min(len(out), mostLike)]
}
