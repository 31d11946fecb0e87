package keep

import (
	"errors"
	"time"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/run"
)

// Why a run teaches nothing.
var (
	ErrNotInside = errors.New("the run did not end at rest inside the tolerance")
	ErrNoLesson  = errors.New("the readings do not tell what a drop brought")
	ErrNoNames   = errors.New("neither bottles nor electrode have names")
)

// Lesson is what a run that has ended well says of the droppers, bottles and the
// electrode that have names. Only additions on record count, and only the run as it
// was planned: what a mistake explains better teaches nothing.
func Lesson(s run.State, electrode string, at time.Time) (bench.Run, error) {
	v := s.AtLast()
	if s.Ended() == nil || !v.Inside() {
		return bench.Run{}, ErrNotInside
	}
	r := bench.Run{At: at, Plan: s.Setup.Plan.Name}
	if !v.ByHand { // what is typed tells next to nothing of an electrode
		r.Note(electrode, s.Electrode().Known())
	}
	l, ok := s.Bench().Learn(s.Closed(v.Settling))
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
