package walk

import (
	"fmt"
	"math"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/course"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/phrase"
)

// Choice is a standard to be read, with what its bottle says.
type Choice struct {
	Standard standards.Standard
	Lot      string
	Expiry   string
	Check    bool // only checks the line through the others
}

// Stage says what a Procedure waits for.
type Stage uint8

// The stages.
const (
	Immerse Stage = iota // for the person: rinse, blot, put the electrode into the standard
	Settle               // for the reading to settle
	Ask                  // for the person: it settled where it was not expected, or does not settle
	Done                 // for nothing
)

// How far from what an electrode should show, seen from what it has shown in
// the standards before, a settled value may lie before the person is asked
// whether this is the right beaker (choice).
const (
	farSDs   = 4.0
	farLeast = 20.0 // mV
)

// Procedure leads through the standards one after the other: what to do, when
// a reading has settled, what the points are. It is for one goroutine.
type Procedure struct {
	choices []Choice
	byHand  chem.Celsius
	fixed   bool // byHand goes before what the meter sends
	i       int
	stage   Stage
	gather  *Gather
	taken   []dip
	latest  meter.Reading
	any     bool
	why     string // of Ask
	strange bool   // Ask because of the value, which waiting will not change
	trouble bool   // Ask because of the temperature, which may come right by itself
	wall    func(t float64) time.Time
	resumed bool            // and no reading has come since
	needs   float64         // pH, the spread that is wanted; 0 for the usual one
	expects []calib.Account // of the electrode, where something is known of it
}

// dip is a standard that has been read.
type dip struct {
	choice Choice
	point  calib.Point
	course course.Dip
	at     int     // place among the dips that were fitted; -1 when it was not
	until  float64 // s, of its last reading
	sent   bool    // mV were sent
}

// NewProcedure prepares the choices in their order. byHand is the temperature
// for a meter that sends none; wall turns seconds of the procedure into time.
func NewProcedure(choices []Choice, byHand chem.Celsius, wall func(t float64) time.Time) *Procedure {
	p := &Procedure{choices: choices, byHand: byHand, wall: wall}
	if len(choices) == 0 {
		p.stage = Done
	}
	return p
}

// Stage is what it waits for.
func (p *Procedure) Stage() Stage { return p.stage }

// Current is the standard that is being read, and its number from 1.
func (p *Procedure) Current() (c Choice, number, of int) {
	return p.choices[min(p.i, len(p.choices)-1)], p.i + 1, len(p.choices)
}

// Choices are all standards, in their order.
func (p *Procedure) Choices() []Choice { return p.choices }

// Why says, in the Ask stage, what is odd.
func (p *Procedure) Why() string { return p.why }

// Points are the points taken so far; check is that of the check standard. What
// later dips have taught of the electrode is in the earlier ones.
func (p *Procedure) Points() (points []calib.Point, check *calib.Point) {
	for i, d := range p.taken {
		if d.choice.Check {
			check = &p.taken[i].point
		} else {
			points = append(points, d.point)
		}
	}
	return points, check
}

// Gather is the reading in progress, nil outside of Settle and Ask.
func (p *Procedure) Gather() *Gather { return p.gather }

// Push takes a reading at time t, s. It returns true when a point was taken
// or the stage changed.
func (p *Procedure) Push(t float64, r meter.Reading) (bool, error) {
	if r.Usable() {
		if p.resumed {
			if err := p.unlike(r.Quantity == meter.Millivolt || r.HasMV); err != nil {
				return false, err
			}
		}
		p.latest, p.any, p.resumed = r, true, false
	}
	if p.gather == nil || p.stage == Done {
		return false, nil
	}
	p.gather.Push(t, r)
	if changed := p.warm(); changed || p.trouble {
		return changed, nil
	}
	if p.stage == Ask && p.strange {
		return false, nil
	}
	waited := t - p.gather.since
	switch e := p.gather.Estimate(); {
	case p.ready(e, waited):
		if p.why = p.odd(e); p.why != "" {
			p.stage, p.strange = Ask, true
			return true, nil
		}
		return true, p.take(t, false)
	case p.plainly(e, waited) && p.odd(e) != "":
		p.stage, p.strange, p.why = Ask, true, p.odd(e)
		return true, nil
	case p.stage == Settle && waited > patience:
		p.stage, p.why = Ask, p.restless(t, e)
		return true, nil
	}
	return false, nil
}

// Ready says that the electrode is in the standard now, time t in s.
func (p *Procedure) Ready(t float64) {
	if p.stage != Immerse && p.stage != Ask {
		return
	}
	c, _, _ := p.Current()
	p.gather, p.stage, p.why, p.strange, p.trouble = NewGather(c.Standard, t, p.byHand), Settle, "", false, false
	p.gather.fixed = p.fixed
	if earlier := p.courses(); len(earlier) > 0 {
		p.gather.after(earlier, p.taken[len(p.taken)-1].until)
	}
}

// courses are the approaches of the dips so far that were fitted.
func (p *Procedure) courses() (out []course.Dip) {
	for _, d := range p.taken {
		if d.at >= 0 {
			out = append(out, d.course)
		}
	}
	return out
}

// Warm is the temperature given by hand from now on, also for a meter that
// sends another one.
func (p *Procedure) Warm(t chem.Celsius) {
	p.byHand, p.fixed = t, true
	if p.gather == nil {
		return
	}
	p.gather.Byhand, p.gather.fixed = t, true
	p.warm()
}

// Accept takes the present value as it is, at the person's word.
func (p *Procedure) Accept(t float64) error {
	if p.gather == nil || p.stage == Done || p.stage == Immerse {
		return nil
	}
	if p.trouble {
		return fmt.Errorf("calib: standard %s: %s", p.gather.Standard, p.why)
	}
	if len(p.gather.list) == 0 {
		return fmt.Errorf("calib: standard %s: %w: no reading has come", p.gather.Standard, calib.ErrValue)
	}
	return p.take(t, true)
}

// typedSD is how well a person reads off where a meter comes to rest, pH: it drifts
// by so much in the minute that nobody waits for (choice).
const typedSD = 0.02

// Type takes a value that a person has read off the meter at rest, in place of
// readings. One that is far from where it should be is asked about first, unless
// sure. The error is ErrSends for mV after pH or pH after mV, and that of Standard.PH.
func (p *Procedure) Type(t float64, r meter.Reading, sure bool) error {
	if p.stage == Done {
		return nil
	}
	if err := p.unlike(r.Quantity == meter.Millivolt); err != nil {
		return err
	}
	c, _, _ := p.Current()
	point, err := calib.NewPoint(c.Standard, p.byHand)
	if err != nil {
		return err
	}
	k := nernst.Slope(p.byHand)
	mv := potential(r, p.byHand)
	digit := math.Pow10(-r.Decimals) / math.Sqrt(12) // of a value that was rounded
	if r.Quantity == meter.PH {
		digit *= k
	}
	g := NewGather(c.Standard, t, p.byHand)
	g.mv = r.Quantity == meter.Millivolt
	p.gather = g
	if p.why = p.odd(Estimate{Known: true, MV: mv, Now: mv, SD: typedSD * k}); p.why != "" && !sure {
		p.stage, p.strange = Ask, true
		return nil
	}
	point.Typed, point.TempByHand = true, true
	point.Read(calib.Rest{MV: mv, SD: math.Hypot(typedSD*k, digit), Sent: g.mv})
	point.Cov = make([]float64, 0, len(p.taken)+1)
	for _, d := range p.taken {
		if !d.choice.Check {
			point.Cov = append(point.Cov, 0)
		}
	}
	point.Cov = append(point.Cov, phrase.Decimals(point.SD*k*point.SD*k, 4))
	point.At, point.Lot, point.Expiry = p.wall(t), c.Lot, c.Expiry
	p.taken = append(p.taken, dip{choice: c, point: point, at: -1, sent: g.mv})
	p.next()
	return nil
}

// next goes on to the next standard.
func (p *Procedure) next() {
	p.gather, p.why, p.strange = nil, "", false
	p.stage = Immerse
	if p.i++; p.i == len(p.choices) {
		p.stage = Done
	}
}

// Impossible are the standards of which nothing is known at the temperature that the
// meter has sent last, or that was given by hand, each with its range in words.
func (p *Procedure) Impossible() (out []string) {
	t := p.byHand
	if p.any && p.latest.HasTemp && !p.fixed {
		t = chem.Celsius(p.latest.TempC)
	}
	if !(t >= coldest && t <= hottest) {
		return nil // that is asked about when a standard is read
	}
	for _, c := range p.choices {
		if _, err := c.Standard.PH(t); err != nil {
			low, high := c.Standard.Range()
			out = append(out, fmt.Sprintf("%s at %.1f °C: its table covers %g to %g °C", c.Standard, float64(t), float64(low), float64(high)))
		}
	}
	return out
}

// Tells reports whether the temperature of the standards is known: sent by the
// meter, or given by hand for good.
func (p *Procedure) Tells() bool { return p.fixed || p.any && p.latest.HasTemp }

// Warmth is the temperature that was given by hand, °C, and whether it overrides what the
// meter sends.
func (p *Procedure) Warmth() (t chem.Celsius, overrides bool) { return p.byHand, p.fixed }

// Heard reports whether a reading has come.
func (p *Procedure) Heard() bool { return p.any }

// Again goes back to putting the electrode into the present standard.
func (p *Procedure) Again() {
	if p.stage == Settle || p.stage == Ask {
		p.gather, p.stage, p.why, p.trouble = nil, Immerse, "", false
	}
}

// Back discards the standard that was accepted last, to be read again; false where none was.
func (p *Procedure) Back() bool {
	if len(p.taken) == 0 || p.stage == Done {
		return false
	}
	p.taken, p.i = p.taken[:len(p.taken)-1], p.i-1
	p.gather, p.stage, p.why, p.strange, p.trouble = nil, Immerse, "", false, false
	return true
}

// take makes a point and goes on to the next standard.
func (p *Procedure) take(t float64, byHand bool) error {
	g := p.gather
	point, err := g.Point(t, byHand)
	if err != nil {
		return err
	}
	c := p.choices[p.i]
	point.At, point.Lot, point.Expiry = p.wall(t), c.Lot, c.Expiry
	d := dip{choice: c, point: point, at: -1, until: g.list[len(g.list)-1].T, sent: g.mv}
	if g.Estimate().Known {
		d.course, d.at = g.now, g.ends.N-1
	}
	p.taken = append(p.taken, d)
	if d.at >= 0 {
		p.refine(&g.ends)
	}
	p.next()
	return nil
}
