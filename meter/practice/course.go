package practice

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
)

// Course is a run as it really was: the bench of the slip, with everything
// that was recorded done to it once more.
type Course struct {
	Start float64 // true pH in use before the person came
	Stops []truth // after each addition that counts
	Final float64 // true pH in use at the end
	Now   float64 // true pH in the beaker at the end
	Ahead float64 // pH that the meter still had to go at the end
	Names []Named // what the person took for the fault
	Asks  []float64
	Doses map[int64]journal.Addition
	Fell  map[int64]float64 // of what was given before, drops that really fell
	Lost  map[int64]bool    // additions that did not come into the beaker
}

// truth is where the beaker really stood after an addition, when it was left.
type truth struct {
	Seq   int64
	T     float64
	InUse float64 // pH made up to the mark, at the temperature of use
	Rest  float64 // pH to which the meter was on its way when its first drop fell
	Ahead float64 // pH that it still had to go then
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
	return slices.ContainsFunc(e.Faults, func(f Fault) bool { return f.Name == fault })
}

// Redo does a run once more.
func (e *Exercise) Redo(r *replay.Run, s Slip) (*Course, error) {
	p, err := e.play(s)
	if err != nil {
		return nil, err
	}
	c := &Course{Start: p.inUse(), Doses: p.doses, Fell: map[int64]float64{}, Lost: map[int64]bool{}}
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
		n := len(c.Stops)
		if c.note(p, ev, given, before); len(c.Stops) > n {
			c.Stops[n].Rest, c.Stops[n].Ahead = rest, ahead
		}
	}
	p.to(r.Seconds())
	c.Ahead = math.Abs(p.b.Rest() - p.b.Shown())
	c.leave(p.inUse())
	c.Final, c.Now = p.inUse(), p.b.Beaker()
	return c, nil
}

// lead is how long before its record an addition began to fall, s.
func (p *player) lead(ev journal.Event) float64 {
	if ev.Added == nil || !p.drips || ev.Added.Drops <= 1 && !p.told {
		return 0
	}
	lead := p.pace * math.Max(0, math.Ceil(ev.Added.Drops)-1)
	if p.told && ev.Added.From != nil {
		lead = math.Max(lead, ev.T-*ev.Added.From)
	}
	return lead
}

// leave notes where the beaker stood when it was touched again.
func (c *Course) leave(ph float64) {
	if n := len(c.Stops); n > 0 {
		c.Stops[n-1].InUse = ph
	}
}

// note keeps what is to be judged of an event.
func (c *Course) note(p *player, ev journal.Event, given int, before float64) {
	switch {
	case ev.Added != nil && given > 0:
		c.Fell[ev.Seq] = p.e.Given[len(p.e.Given)-given].fell()
	case ev.Added != nil:
		c.Stops = append(c.Stops, truth{Seq: ev.Seq, T: ev.T})
		c.Lost[ev.Seq] = p.b.Ails("missed") && math.Abs(p.b.Real()-before) < 1e-6
	case ev.Undo != nil:
		for i, s := range c.Stops {
			if s.Seq == ev.Undo.Seq {
				c.Stops = append(c.Stops[:i], c.Stops[i+1:]...)
				break
			}
		}
		delete(c.Doses, ev.Undo.Seq)
	case ev.Remark != nil:
		if ev.Remark.Code == AskedCode {
			c.Asks = append(c.Asks, ev.T)
		}
		if n, ok := namedIn(ev); ok {
			n.Right = p.e.Has(n.Name)
			c.Names = append(c.Names, n)
		}
	}
}

// Passage is a stop beyond aim and tolerance.
type Passage struct {
	truth
	Past float64 // beyond the target, pH
}

// Passages are the additions that led past the target, and those that led still
// further away from it on that side, seen from where the beaker stood before.
func (c *Course) Passages(aim, within chem.PH) []Passage {
	target, tolerance := float64(aim), float64(within)
	var out []Passage
	from, side := c.Start, 0.0 // the side on which it is past the target
	for _, s := range c.Stops {
		dir := math.Copysign(1, s.InUse-from)
		past := dir * (s.InUse - target)
		crossed := past > tolerance && dir*(from-target) <= tolerance
		further := side == dir && past > tolerance && math.Abs(s.InUse-from) > tolerance
		if crossed || further {
			out = append(out, Passage{s, past})
			side = dir
		} else if math.Abs(s.InUse-target) <= tolerance {
			side = 0
		}
		from = s.InUse
	}
	return out
}
