package practice

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"example.org/halfdrop/meter/journal"
)

// Codes of the remarks that a practice run makes of what the person did.
const (
	AskedCode = "asked"  // the coach was asked
	faultCode = "fault:" // and the name of the fault that the person sees at work
)

// Slip goes with a run: what was practised, and on which bench. The file of
// the exercise is in it, so that a result can be judged from its journal alone.
type Slip struct {
	Exercise string   `json:"exercise"`
	Digest   string   `json:"digest"` // of the file
	Seed     uint64   `json:"seed"`
	Coach    Coaching `json:"coach"`
	Speed    float64  `json:"speed"`
	Every    float64  `json:"every"`           // s between two readings, in simulated time
	Drips    bool     `json:"drips,omitempty"` // drops fell one by one
	File     []byte   `json:"file"`            // of the exercise, gzip: not to be read by accident
}

// ErrNoPractice is returned for a journal that is none of an exercise.
var ErrNoPractice = errors.New("not a practice run")

// mostText bounds the file of an exercise, bytes.
const mostText = 1 << 20

// NewSlip is the slip of a run on a bench that runs speed times as fast as the clock and
// whose meter sends a line every so often by the clock of the bench.
func NewSlip(e *Exercise, seed uint64, c Coaching, speed float64, every time.Duration) (Slip, error) {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, err := z.Write(e.Text)
	if err = cmp.Or(err, z.Close()); err != nil {
		return Slip{}, fmt.Errorf("practice: %w", err)
	}
	return Slip{Exercise: e.Name, Digest: e.Digest, Seed: seed, Coach: c, Speed: speed, Every: every.Seconds(), File: b.Bytes()}, nil
}

// SlipOf is the slip of a journal, by its start event.
func SlipOf(first journal.Event) (Slip, error) {
	var s Slip
	if first.Start == nil || len(first.Start.Practice) == 0 {
		return s, fmt.Errorf("practice: %w", ErrNoPractice)
	}
	if err := json.Unmarshal(first.Start.Practice, &s); err != nil {
		return s, fmt.Errorf("practice: the slip of the run: %w", err)
	}
	return s, nil
}

// Open unpacks the exercise of a slip.
func (s Slip) Open() (*Exercise, error) {
	z, err := gzip.NewReader(bytes.NewReader(s.File))
	var text []byte
	if err == nil {
		text, err = io.ReadAll(io.LimitReader(z, mostText))
	}
	var e *Exercise
	if err == nil {
		e, err = Decode(s.Exercise, text)
	}
	if err != nil {
		return nil, fmt.Errorf("practice: the exercise in the journal: %w", err)
	}
	return e, nil
}

// Start is the first event of a run of the exercise.
func Start(e *Exercise, s Slip, at time.Time, program, operator string) (journal.Event, error) {
	plan, err := json.Marshal(e.Plan)
	if err != nil {
		return journal.Event{}, fmt.Errorf("practice: %w", err)
	}
	slip, err := json.Marshal(s)
	if err != nil {
		return journal.Event{}, fmt.Errorf("practice: %w", err)
	}
	return journal.Event{Seq: 1, At: at, Kind: journal.Started, Start: &journal.Start{
		Format: journal.Format, Program: program, Plan: plan, Operator: operator,
		Source: fmt.Sprintf("practice %s, seed %d", e.Name, s.Seed), Practice: slip,
	}}, nil
}
