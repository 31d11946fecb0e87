package practice

import (
	"math"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
)

// course is a run as it really was: the bench of the slip, with everything
// that was recorded done to it once more.
type course struct {
	start float64 // true pH in use before the person came
	stops []truth // after each addition that counts
	final float64 // true pH in use at the end
	now   float64 // true pH in the beaker at the end
	ahead float64 // pH that the meter still had to go at the end
	names []named // what the person took for the fault
	asks  []float64
	doses map[int64]journal.Addition
	fell  map[int64]float64 // of what was given before, drops that really fell
	lost  map[int64]bool    // additions that did not come into the beaker
}

// truth is where the beaker really stood after an addition, when it was left.
type truth struct {
	seq   int64
	t     float64
	inUse float64 // pH made up to the mark, at the temperature of use
	rest  float64 // pH to which the meter was on its way when its first drop fell
	ahead float64 // pH that it still had to go then
}

// inUse is the pH that counts: as the meter would show it after making up. A
// meter that the person calibrates is not taken at its word.
func (p *player) inUse() float64 {
	if p.e.Calibrate != nil {
		return p.b.Real()
	}
	return p.b.MadeUp()
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
func (e *Exercise) redo(r *replay.Run, s Slip) (*course, error) {
	p, err := e.play(s)
	if err != nil {
		return nil, err
	}
	c := &course{start: p.inUse(), doses: p.doses, fell: map[int64]float64{}, lost: map[int64]bool{}}
	for ev := range r.Others {
		given := p.given
		if ev.Added != nil && given == 0 || ev.Undo != nil {
			p.to(ev.T - p.lead(ev))
			c.leave(p.inUse())
		}
		before, rest := p.b.Real(), p.b.Rest()
		ahead := math.Abs(rest - p.b.Shown())
		if err := p.take(ev); err != nil {
			return nil, err
		}
		n := len(c.stops)
		if c.note(p, ev, given, before); len(c.stops) > n {
			c.stops[n].rest, c.stops[n].ahead = rest, ahead
		}
	}
	p.to(r.Seconds())
	c.ahead = math.Abs(p.b.Rest() - p.b.Shown())
	c.leave(p.inUse())
	c.final, c.now = p.inUse(), p.b.Beaker()
	return c, nil
}

// lead is how long before its record an addition began to fall, s.
func (p *player) lead(ev journal.Event) float64 {
	if ev.Added == nil || !p.drips || ev.Added.Drops <= 1 {
		return 0
	}
	return p.pace * (math.Ceil(ev.Added.Drops) - 1)
}

// leave notes where the beaker stood when it was touched again.
func (c *course) leave(ph float64) {
	if n := len(c.stops); n > 0 {
		c.stops[n-1].inUse = ph
	}
}

// note keeps what is to be judged of an event.
func (c *course) note(p *player, ev journal.Event, given int, before float64) {
	switch {
	case ev.Added != nil && given > 0:
		c.fell[ev.Seq] = p.e.Given[len(p.e.Given)-given].fell()
	case ev.Added != nil:
		c.stops = append(c.stops, truth{seq: ev.Seq, t: ev.T})
		c.lost[ev.Seq] = p.b.Ails("missed") && math.Abs(p.b.Real()-before) < 1e-6
	case ev.Undo != nil:
		for i, s := range c.stops {
			if s.seq == ev.Undo.Seq {
				c.stops = append(c.stops[:i], c.stops[i+1:]...)
				break
			}
		}
		delete(c.doses, ev.Undo.Seq)
	case ev.Remark != nil:
		if ev.Remark.Code == AskedCode {
			c.asks = append(c.asks, ev.T)
		}
		if n, ok := namedIn(ev); ok {
			n.right = p.e.Has(n.name)
			c.names = append(c.names, n)
		}
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
