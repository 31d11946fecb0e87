// Package shelf is what is remembered between runs, and its files: what runs have
// shown of bottles, droppers and electrodes, droppers that were weighed,
// calibrations and those that were broken off, and the meters that were learned.
package shelf

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/textfile"
)

// BenchFile is the file in which what runs have shown of a bench is kept.
func BenchFile() (string, error) {
	path, err := inData("bench.toml")
	if err != nil {
		return "", remedy.With(err, "name a file with --bench FILE")
	}
	return path, nil
}

// inData is a file in the data folder, beside the runs.
func inData(name string) (string, error) {
	runs, err := journal.DefaultFolder()
	return filepath.Join(filepath.Dir(runs), name), err
}

// save writes a TOML file under a head of comments, with the folders that it needs.
func save(path, head string, v any, mode os.FileMode) error {
	out := bytes.NewBufferString(head)
	if err := toml.NewEncoder(out).Encode(v); err != nil {
		return err
	}
	return exchange(path, out.Bytes(), mode)
}

func exchange(path string, text []byte, mode os.FileMode) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	return textfile.Exchange(path, text, mode)
}

// ReadBench reads what is known of a bench, with the droppers that were weighed.
func ReadBench(path string) (b bench.Book, err error) {
	data, err := textfile.Read(path, textfile.MaxConfig)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return b, err
	}
	if err := textfile.Decode(path, data, &b); err != nil {
		return b, remedy.With(err, "correct the file, or move it away: the next run then starts afresh")
	}
	if err := b.Valid(); err != nil {
		return b, remedy.With(fmt.Errorf("%s: %w", path, err), "correct the file, or move it away: the next run then starts afresh")
	}
	list, _, err := ReadDroppers()
	if err != nil {
		return b, err
	}
	b.Weighs = phrase.Each(list.Dropper, func(d Dropper) bench.Weighed {
		return bench.Weighed{At: d.Measured, Dropper: d.Name, UL: d.DropUL, SDPct: d.DropSDPct}
	})
	return b, nil
}

const benchHead = `# What runs have shown of droppers, bottles and electrodes; see halfdrop bench.
# umol_a_drop is what a drop brings (with by_ml, 1 mL): its size times the strength, which readings
# cannot tell apart. sd_pct is how certain that is, shared_sd_pct the part on top of it
# that all bottles of the run share.

`

// WriteBench writes what is known, for nobody else to read.
func WriteBench(path string, b bench.Book) error { return save(path, benchHead, b, 0o600) }

// Memory is where a run takes from and puts back what is known of a bench.
type Memory struct {
	Path      string // of the file; empty takes that of the data folder
	Electrode string
	Forget    bool // begin without what is known; a run that ends well replaces it
	Sim       bool // a simulated bench is another each time, unless a file is named
}

// Keeps reports whether there is anything to remember by a name: a program that feeds
// the line protocol without names never touches the file.
func (m Memory) Keeps(list []recipe.Titrant) bool {
	return m.Electrode != "" || slices.ContainsFunc(list, func(t recipe.Titrant) bool { return t.Bottle != "" })
}

// File is where it is kept; empty for nowhere.
func (m Memory) File() (string, error) {
	switch {
	case m.Path != "":
		return m.Path, nil
	case m.Sim:
		return "", nil
	}
	return BenchFile()
}

// TakeOver puts into the start of a run what is known of its droppers, bottles and
// electrode, and says so.
func (m Memory) TakeOver(p recipe.Plan, first *journal.Event, talk io.Writer) error {
	path, err := m.File()
	if err != nil || path == "" || m.Forget {
		return err
	}
	book, err := ReadBench(path)
	if err != nil {
		return err
	}
	setup, err := recipe.Compile(p)
	if err != nil {
		return err
	}
	taken := book.Recall(setup, m.Electrode, first.At)
	words := taken.Words()
	if len(words) == 0 {
		return nil
	}
	for _, w := range words {
		fmt.Fprintln(talk, "halfdrop: known: "+w)
	}
	first.Start.Known, err = json.Marshal(taken)
	return err
}

// Recall is what is known of a bottle that is brought to the plate while the run goes
// on. A file that cannot be read then is no reason to refuse the bottle.
func (m Memory) Recall() brought.Recall {
	path, err := m.File()
	if err != nil || path == "" || m.Forget {
		return nil
	}
	return func(s *recipe.Setup) bench.Taken {
		book, err := ReadBench(path)
		if err != nil {
			return bench.Taken{}
		}
		return book.Recall(s, "", time.Now())
	}
}

// Teach puts down what a run that ended well has shown.
func (m Memory) Teach(s run.State, journalPath string, talk io.Writer) error {
	path, err := m.File()
	if err != nil || path == "" {
		return err
	}
	if m.Path == "" && strings.HasPrefix(s.Start.Source, sim.SourcePrefix) {
		return nil // a simulated run that was gone on with
	}
	lesson, err := keep.Lesson(s, m.Electrode, time.Now().Truncate(time.Second))
	switch {
	case errors.Is(err, keep.ErrNoNames):
		fmt.Fprintln(talk, `halfdrop: hint: give bottles a name in the plan (bottle = "…", dropper = "…"), and the next run starts with what this one has shown of them`)
		return nil
	case err != nil:
		return nil //nolint:nilerr // there is nothing to be learned from this run
	}
	lesson.Journal = journalPath
	book, err := ReadBench(path)
	if err != nil {
		return err
	}
	if m.Forget {
		for _, st := range s.Setup.Stocks {
			book.Forget(st.Bottle)
			book.Forget(st.DropperName)
		}
		book.Forget(m.Electrode)
	}
	book.Put(lesson)
	if err := WriteBench(path, book); err != nil {
		return remedy.With(fmt.Errorf("what the run has shown could not be saved: %w", err), "the run itself is recorded")
	}
	fmt.Fprintf(talk, "halfdrop: what it has shown of the bench is saved in %s; halfdrop bench shows it\n", path)
	return nil
}
