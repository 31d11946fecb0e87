package keep

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
)

// Kept is a run on the disk, as far as its first and last event tell.
type Kept struct {
	Path     string
	Name     string // of the plan
	Operator string
	Source   string // where its readings came from
	Begun    time.Time
	Last     time.Time // of the last event
	Seconds  float64   // run time of the last event
	Outcome  string    // empty while it has not ended
	Ended    bool
	Err      error // it cannot be read; the rest is empty then
}

// List is the runs in a folder, the latest first, without reading them
// through. A folder that is not there holds none. A file that is no journal is
// listed with its error, so that nothing is passed over in silence.
func List(folder string) ([]Kept, error) {
	files, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("run: the folder of runs: %w", err)
	}
	var out []Kept
	for _, f := range files {
		if !f.IsDir() && strings.HasSuffix(f.Name(), ".jsonl") {
			out = append(out, look(filepath.Join(folder, f.Name())))
		}
	}
	slices.SortStableFunc(out, func(a, b Kept) int { return b.Last.Compare(a.Last) })
	return out, nil
}

func look(path string) Kept {
	first, last, err := journal.Peek(path)
	if err != nil {
		return Kept{Path: path, Err: err}
	}
	k := Kept{Path: path, Begun: first.At, Last: last.At, Seconds: last.T, Operator: first.Start.Operator, Source: first.Start.Source}
	var p recipe.Plan
	if json.Unmarshal(first.Start.Plan, &p) == nil {
		k.Name = p.Name
	}
	if last.Kind == journal.Ended {
		k.Ended, k.Outcome = true, last.End.Outcome
	}
	if last.Kind == journal.MadeUp { // read after the run was closed
		k.Ended, k.Outcome = true, last.MadeUp.Outcome
	}
	return k
}

// Unfinished is the runs in a folder that have not ended, the latest first.
func Unfinished(folder string) ([]Kept, error) {
	all, err := List(folder)
	return slices.DeleteFunc(all, func(k Kept) bool { return k.Ended || k.Err != nil }), err
}
