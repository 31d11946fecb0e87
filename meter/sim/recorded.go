package sim

import (
	"bytes"
	"embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Recorded electrodes: what real ones did, taken out of open recordings. Source and
// licence stand at the head of each file; TestTapes makes the files anew out of
// testdata/recordings.
//
//go:embed recorded/*.csv
var tapes embed.FS

// ErrTape is returned for a recorded electrode that does not exist.
var ErrTape = errors.New("no such recorded electrode")

// Tape is a recorded electrode. Either it says what the readings had more than the
// solution gave, or how the electrode came to rest after one step.
type Tape struct {
	Name    string
	More    []float64 // pH, one reading a second
	SD      float64   // of More, pH
	Step    []float64 // share of a step that was done, 0 to about 1
	StepAt  []float64 // s after the step, rising, for each of Step
	comment string
}

// Source names the open data set that the tape was cut from, with its licence: what
// stands at the head of the file.
func (t *Tape) Source() string { return t.comment }

var recorded = sync.OnceValues(func() (map[string]*Tape, error) {
	files, err := fs.Glob(tapes, "recorded/*.csv")
	if err != nil {
		return nil, fmt.Errorf("sim: %w", err)
	}
	all := map[string]*Tape{}
	for _, f := range files {
		text, err := tapes.ReadFile(f)
		if err != nil {
			return nil, fmt.Errorf("sim: %w", err)
		}
		t, err := readTape(text)
		if err != nil {
			return nil, fmt.Errorf("sim: %s: %w", f, err)
		}
		t.Name = strings.TrimSuffix(strings.TrimPrefix(f, "recorded/"), ".csv")
		all[t.Name] = t
	}
	return all, nil
})

// Recorded is the recorded electrode of that name.
func Recorded(name string) (*Tape, error) {
	all, err := recorded()
	if err != nil {
		return nil, err
	}
	if t, ok := all[name]; ok {
		return t, nil
	}
	return nil, fmt.Errorf("sim: %w: %q; there are %s", ErrTape, name, strings.Join(RecordedNames(), ", "))
}

// RecordedNames are the names of the recorded electrodes.
func RecordedNames() []string {
	all, _ := recorded()
	return slices.Sorted(maps.Keys(all))
}

// readTape reads a file of two columns: s,more or s,share.
func readTape(text []byte) (*Tape, error) {
	t := &Tape{}
	for line := range strings.Lines(string(text)) {
		if note, ok := strings.CutPrefix(line, "#"); ok {
			t.comment += strings.TrimSpace(note) + "\n"
		}
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comment, r.FieldsPerRecord = '#', 2
	rows, err := r.ReadAll()
	if err != nil {
		return nil, err
	}
	sum := 0.0
	for i, row := range rows[1:] {
		s, err1 := strconv.ParseFloat(row[0], 64)
		x, err2 := strconv.ParseFloat(row[1], 64)
		if err := errors.Join(err1, err2); err != nil {
			return nil, fmt.Errorf("row %d: %w", i+1, err)
		}
		if rows[0][1] == "share" {
			t.StepAt, t.Step = append(t.StepAt, s), append(t.Step, x)
			continue
		}
		t.More = append(t.More, x)
		sum += x * x
	}
	if len(t.More) > 0 {
		t.SD = math.Sqrt(sum / float64(len(t.More)))
	}
	return t, nil
}

// more is what a reading at time s has more than the solution gives, pH; begin says
// where on the tape a bench starts, and after its end it begins again.
func (t *Tape) more(s float64, begin uint64) float64 {
	n := len(t.More)
	return t.More[(int(begin%uint64(n))+int(math.Max(0, s)))%n]
}

// done is the share of a step that is done s after it, on straight lines between
// what was recorded, and all of it after the end.
func (t *Tape) done(s float64) float64 {
	i, _ := slices.BinarySearch(t.StepAt, s)
	switch {
	case s <= 0 || i == 0:
		return 0
	case i == len(t.StepAt):
		return 1
	}
	part := (s - t.StepAt[i-1]) / (t.StepAt[i] - t.StepAt[i-1])
	return t.Step[i-1] + part*(t.Step[i]-t.Step[i-1])
}

// follower answers to each change of the pH round it as the tape did to its step.
type follower struct {
	tape *Tape
	seen float64   // the pH round it, as far as it is accounted for
	from float64   // pH, what all that is over has led to
	at   []float64 // s, of the changes that are not over
	by   []float64 // pH
}

// see notes what the pH round the electrode has become at time t, s.
func (f *follower) see(ph, t float64) {
	if ph == f.seen {
		return
	}
	f.at, f.by = append(f.at, t), append(f.by, ph-f.seen)
	f.seen = ph
	over := 0
	for over < len(f.at) && t-f.at[over] > f.tape.StepAt[len(f.tape.StepAt)-1] {
		f.from += f.by[over]
		over++
	}
	f.at, f.by = f.at[over:], f.by[over:]
}

// shows is the pH that the electrode gives at time t, s.
func (f *follower) shows(t float64) float64 {
	y := f.from
	for i, at := range f.at {
		y += f.by[i] * f.tape.done(t-at)
	}
	return y
}
