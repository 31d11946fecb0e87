package practice

import (
	"errors"
	"fmt"

	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/sim"
)

// Left is an exercise that was left before its end, its bench as it stood then.
type Left struct {
	Exercise *Exercise
	Slip     Slip
	Bench    *sim.Bench
	Plate    *Plate
	T        float64         // s of the run, at which it goes on
	Found    map[string]bool // the faults that were named rightly, by their names
}

// TakeUp puts the bench of a run that was left together again, to the last reading:
// its time has stood still meanwhile. A run that was closed is not taken up.
func TakeUp(r *replay.Run) (*Left, error) {
	s, err := SlipOf(r.First)
	if err != nil {
		return nil, err
	}
	e, err := s.Open()
	if err != nil {
		return nil, err
	}
	if r.End().Look(r.Seconds()).Outcome != "" {
		return nil, fmt.Errorf("practice: %w", ErrEnded)
	}
	p, err := e.play(s)
	if err != nil {
		return nil, err
	}
	l := &Left{Exercise: e, Slip: s, Bench: p.b, Plate: p.plate, Found: map[string]bool{}}
	for ev := range r.Others {
		if n, ok := namedIn(ev); ok && e.Has(n.Name) {
			l.Found[n.Name] = true
		}
	}
	p.reads, p.read = e.readTimes(r, s.Every), func(int) { p.b.Read() } // the dice of the noise go on where they stood
	if err := p.whole(r); err != nil {
		return nil, err
	}
	l.T = r.Seconds()
	p.plate.Last = nil // what comes is another log
	return l, nil
}

// ErrEnded is returned for a run that was closed.
var ErrEnded = errors.New("the run was closed")
