package run

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/run/brought"
)

// takeOver takes over what the start event says is known from earlier runs.
func (s *State) takeOver(known json.RawMessage) error {
	if len(known) == 0 {
		return nil
	}
	t, err := brought.Taken(known)
	if err != nil {
		return fmt.Errorf("run: what the journal takes over: %w", err)
	}
	s.taken = &t
	return nil
}

// Taken is what was taken over from earlier runs; nil for nothing.
func (s State) Taken() *bench.Taken { return s.taken }

// Why a run teaches nothing.
var (
	ErrNotInside = errors.New("the run did not end at rest inside the tolerance")
	ErrNoLesson  = errors.New("the readings do not tell what a drop brought")
	ErrNoNames   = errors.New("neither bottles nor electrode have names")
)

// Lesson is what a run that has ended well says of the droppers, bottles and the
// electrode that have names. Only additions on record count, and only the run as it
// was planned: what a mistake explains better teaches nothing.
func (s State) Lesson(electrode string, at time.Time) (bench.Run, error) {
	v := s.AtLast()
	if s.ended == nil || !v.Inside() {
		return bench.Run{}, ErrNotInside
	}
	r := bench.Run{At: at, Plan: s.Setup.Plan.Name}
	if !s.byHand { // what is typed tells next to nothing of an electrode
		r.Note(electrode, s.track.Electrode().Known())
	}
	l, ok := s.bench.Learn(s.closedBy(v.Settling))
	if ok {
		r.Learn(s.Setup, l)
	}
	switch {
	case len(r.Drops) > 0 || r.Electrode != nil:
		return r, nil
	case ok:
		return r, ErrNoNames
	}
	return r, ErrNoLesson
}
