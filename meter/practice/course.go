package practice

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/sim"
)

// course is a run as it really was: the bench of the slip, with everything
// that was recorded done to it once more.
type course struct {
	start float64 // true pH in use before the person came
	stops []truth // after each addition that counts
	final float64 // true pH in use at the end
	names []named // what the person took for the fault
	asked int     // times the coach was asked
}

// truth is where the beaker really stood after an addition, when it was left.
type truth struct {
	seq   int64
	t     float64
	inUse float64 // pH made up to the mark, at the temperature of use
}

// named is a fault that the person named.
type named struct {
	t     float64
	name  string
	right bool
}

// inUse is the pH that counts: as the meter would show it after making up. A
// meter that the person calibrates is not taken at its word.
func (e *Exercise) inUse(b *sim.Bench) float64 {
	if e.Calibrate != nil {
		return b.Real()
	}
	return b.MadeUp()
}

// Has reports whether a fault is one of the exercise.
func (e *Exercise) Has(fault string) bool {
	for _, f := range e.Faults {
		if f.Name == fault {
			return true
		}
	}
	return false
}

// redo does a run once more.
func (e *Exercise) redo(r *replay.Run, seed uint64) (*course, error) {
	b, _, err := e.NewBench(seed)
	if err != nil {
		return nil, err
	}
	c := &course{start: e.inUse(b)}
	given := len(e.Given)
	doses := map[int64]journal.Addition{}
	for ev := range r.Others {
		b.Advance(ev.T)
		if ev.Kind == journal.Added && given > 0 { // in the beaker already
			given--
			doses[ev.Seq] = *ev.Added
			continue
		}
		if err := c.repeat(e, b, ev, doses); err != nil {
			return nil, err
		}
	}
	b.Advance(r.Seconds())
	c.leave(e.inUse(b))
	c.final = e.inUse(b)
	return c, nil
}

// leave notes where the beaker stood when it was touched again.
func (c *course) leave(ph float64) {
	if n := len(c.stops); n > 0 {
		c.stops[n-1].inUse = ph
	}
}

// repeat does to the bench what an event did.
func (c *course) repeat(e *Exercise, b *sim.Bench, ev journal.Event, doses map[int64]journal.Addition) error {
	var err error
	switch {
	case ev.Added != nil:
		c.leave(e.inUse(b))
		err = b.Dispense(ev.Added.Titrant, ev.Added.Drops, ev.Added.ML)
		doses[ev.Seq] = *ev.Added
		c.stops = append(c.stops, truth{seq: ev.Seq, t: ev.T})
	case ev.Undo != nil:
		a := doses[ev.Undo.Seq]
		err = b.Retract(a.Titrant, a.Drops, a.ML)
		for i, s := range c.stops {
			if s.seq == ev.Undo.Seq {
				c.stops = append(c.stops[:i], c.stops[i+1:]...)
				break
			}
		}
	case ev.Correct != nil:
		a, to := doses[ev.Correct.Seq], ev.Correct.To
		if err = b.Retract(a.Titrant, a.Drops, a.ML); err == nil {
			err = b.Dispense(to.Titrant, to.Drops, to.ML)
		}
		doses[ev.Correct.Seq] = to
	case ev.Remark != nil:
		c.remark(e, b, ev)
	}
	if err != nil {
		return fmt.Errorf("practice: event %d: %w", ev.Seq, err)
	}
	return nil
}

func (c *course) remark(e *Exercise, b *sim.Bench, ev journal.Event) {
	if ev.Remark.Code == AskedCode {
		c.asked++
	}
	name, ok := strings.CutPrefix(ev.Remark.Code, FaultCode)
	if !ok {
		return
	}
	right := e.Has(name)
	c.names = append(c.names, named{ev.T, name, right})
	if right {
		b.Mend(name)
	}
}

// passage is a stop beyond aim and tolerance.
type passage struct {
	truth
	past float64 // beyond the target, pH
}

// passages are the additions that led past the target, and those that led still
// further away from it on that side, seen from where the beaker stood before.
func (c *course) passages(target, tolerance float64) []passage {
	var out []passage
	from, side := c.start, 0.0 // the side on which it is past the target
	for _, s := range c.stops {
		dir := math.Copysign(1, s.inUse-from)
		past := dir * (s.inUse - target)
		crossed := past > tolerance && dir*(from-target) <= tolerance
		further := side == dir && past > tolerance && math.Abs(s.inUse-from) > tolerance
		if crossed || further {
			out = append(out, passage{s, past})
			side = dir
		} else if math.Abs(s.inUse-target) <= tolerance {
			side = 0
		}
		from = s.inUse
	}
	return out
}
