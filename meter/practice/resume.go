package practice

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/sim"
)

// Left is an exercise that was left before its end, its bench as it stood then.
type Left struct {
	Exercise *Exercise
	Slip     Slip
	Bench    *sim.Bench
	Plate    *Plate
	T        float64 // s of the run, at which it goes on
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
	l := &Left{Exercise: e, Slip: s, Bench: p.b, Plate: p.plate}
	at := -s.Every
	if e.Calibrate != nil {
		at = math.NaN()
	}
	for ev := range r.Events {
		if ev.Kind != journal.Read {
			if err := p.take(ev); err != nil {
				return nil, err
			}
			if ev.Kind == journal.Gap {
				at = math.Ceil(ev.T/s.Every-1e-9)*s.Every - s.Every
			}
			continue
		}
		if at += s.Every; at > p.b.Time() {
			p.to(at)
		} else if math.IsNaN(at) {
			p.to(ev.T)
		}
		p.b.Read() // the dice of the noise go on where they stood
	}
	l.T = r.Seconds()
	p.to(l.T)
	p.plate.Last = nil
	return l, nil
}

// ErrEnded is returned for a run that was closed.
var ErrEnded = errors.New("the run was closed")
