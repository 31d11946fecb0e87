package replay

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// Run is a run to look back on. It is not changed by use.
type Run struct {
	First journal.Event // the start
	Tail  journal.Tail  // where its sound part ends, and what is lost after it

	items   []item
	others  []journal.Event // all events that are not plain readings
	snaps   []run.State     // after 0, snapEvery, 2·snapEvery … events
	ends    []ending        // how each composition stood when it was left
	end     run.State
	spotted []Mark  // what the readings said was wrong
	ordered float64 // s, when the first addition was ordered, where none had been made; 0 for never

	damage *journal.DamageError // why the rest of the file is not shown
	unfit  error
}

// item is an event after the start: a plain reading, or one of the others.
type item struct {
	t, v, temp float64 // s; pH or mV; °C, NaN when not sent
	beside     float64 // mV sent beside a pH, NaN when not
	ph         float64 // as the run took it: mV with the calibration of the run
	other      int32   // place in others, or −1 for a plain reading
	decimals   int8
	mv         bool
	away       bool // read in a standard, so that it does not speak of the beaker
}

// snapEvery is how many events lie between two states that are kept.
const snapEvery = 2048

// Open reads a journal. Of one that is torn, damaged or cut, the sound part before
// that is what is shown, and Flaw says so; without any sound part it is an error.
func Open(path string) (*Run, error) {
	f, err := intake.Open(path, journal.MaxFile)
	if err != nil {
		return nil, fmt.Errorf("replay: %w", err)
	}
	defer f.Close()
	r, err := Read(f)
	if err != nil {
		return nil, fmt.Errorf("replay: %s: %w", path, err)
	}
	return r, nil
}

// Read is Open from a reader.
func Read(in io.Reader) (*Run, error) {
	b := newBuilder()
	r := b.run
	var err error
	r.Tail, err = journal.Scan(in, func(e journal.Event) error {
		r.unfit = b.take(e)
		return r.unfit
	})
	damaged := r.unfit != nil || errors.As(err, &r.damage)
	if err != nil && (r.First.Kind == "" || !damaged) {
		return nil, err
	}
	b.finish()
	return r, nil
}

// Flaw says what is wrong with the file that the run was read from, in one
// sentence, and what of it is shown; it is empty when nothing is.
func (r *Run) Flaw() string {
	var parts []string
	if r.Tail.Saved != "" {
		parts = append(parts, r.Tail.Saved+"; what it says is as it was written")
	}
	switch {
	case r.damage != nil:
		parts = append(parts, fmt.Sprintf("the journal is damaged at line %d, byte %d: %s; only what comes before it is shown", r.damage.Line, r.damage.Offset, r.damage.Why))
	case r.unfit != nil:
		parts = append(parts, fmt.Sprintf("an event of the journal does not fit (%s); only what comes before it is shown", strings.TrimPrefix(r.unfit.Error(), "run: ")))
	case r.Tail.Torn():
		parts = append(parts, "the end of the journal is torn and is left out: "+r.Tail.Why)
	}
	return strings.Join(parts, "; ")
}

// Damaged reports whether sound lines of the journal are not shown, because
// damaged ones stand before them.
func (r *Run) Damaged() bool { return r.damage != nil || r.unfit != nil }
