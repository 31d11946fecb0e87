package keep

import (
	"errors"
	"slices"
	"time"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/run"
)

// Why a run teaches nothing.
var (
	ErrNotInside = errors.New("the run did not end at rest inside the tolerance")
	ErrNoLesson  = errors.New("the readings do not tell what a drop brought")
	ErrNoNames   = errors.New("neither bottles nor electrode have names")
)

// falsified reports whether the pH of a run rests on a line that is not that of its
// electrode, also where a person has passed over it: the drops that such readings speak for
// are not those that fell. How fast the electrode follows needs no line.
func falsified(fitness []calib.Finding) bool {
	return slices.ContainsFunc(fitness, func(f calib.Finding) bool {
		switch f.Code {
		case calib.CodeRefused, calib.CodeElectrode, calib.CodeShift, calib.CodeAlike:
			return f.Level == calib.Stop
		case calib.CodeSlope: // a remark says that it has changed beyond doubt
			return f.Level == calib.Stop || f.Level == calib.Remark
		}
		return false
	})
}

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
	if ok = ok && !falsified(s.Fitness()); ok {
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
