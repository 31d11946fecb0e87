package calib

import (
	"fmt"
	"math"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/probe"
)

// Choice is a standard to be read, with what its bottle says.
type Choice struct {
	Standard Standard
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

// How far from the standard a settled reading may lie, pH, before the person
// is asked whether this is the right beaker: more than any electrode within the
// limits is off, less than the distance of neighbouring standards (choice).
const (
	farMV = 1.0
	farPH = 0.5
)

// Procedure leads through the standards one after the other: what to do, when
// a reading has settled, what the points are. It decides on readings only by
// probe, never by a time. It is for one goroutine.
type Procedure struct {
	choices []Choice
	byHand  chem.Celsius
	i       int
	stage   Stage
	gather  *Gather
	points  []Point
	check   *Point
	learned probe.Electrode
	latest  meter.Reading
	latestT float64
	any     bool
	why     string // of Ask
	strange bool   // Ask because of the value, which waiting will not change
	wall    func(t float64) time.Time
}

// NewProcedure prepares the choices in their order. byHand is the temperature
// for a meter that sends none; wall turns seconds of the procedure into time.
func NewProcedure(choices []Choice, byHand chem.Celsius, wall func(t float64) time.Time) *Procedure {
	p := &Procedure{choices: choices, byHand: byHand, learned: probe.Unknown(), wall: wall}
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

// Points are the points taken so far; check is that of the check standard.
func (p *Procedure) Points() (points []Point, check *Point) { return p.points, p.check }

// Gather is the reading in progress, nil outside of Settle and Ask.
func (p *Procedure) Gather() *Gather { return p.gather }

// Push takes a reading at time t, s. It returns true when a point was taken
// or the stage changed.
func (p *Procedure) Push(t float64, r meter.Reading) (bool, error) {
	if r.Usable() {
		p.latest, p.latestT, p.any = r, t, true
	}
	if p.gather == nil || p.stage == Done {
		return false, nil
	}
	p.gather.Push(t, r)
	if p.stage == Ask && p.strange {
		return false, nil
	}
	switch e := p.gather.Estimate(t); {
	case e.State == probe.Settled && !p.gather.moving(t):
		if p.why = p.odd(e); p.why != "" {
			p.stage, p.strange = Ask, true
			return true, nil
		}
		return true, p.take(t, false)
	case p.stage == Settle && t-p.gather.since > patience:
		p.stage, p.why = Ask, p.restless(t, e)
		return true, nil
	}
	return false, nil
}

// patience is after how long the person is asked about a reading that has not
// settled, s (choice); it is taken as soon as it does all the same.
const patience = 150

// scatters is the noise of a reading, pH, that is worth a word.
const scatters = 0.03

// restless says why a reading has not settled.
func (p *Procedure) restless(t float64, e probe.Estimate) string {
	after := fmt.Sprintf("after %.0f s ", t-p.gather.since)
	switch {
	case e.Noise > scatters:
		return after + fmt.Sprintf("the readings scatter by %.2g pH: look for bubbles, hard stirring or a loose plug", e.Noise)
	case p.gather.moving(t):
		slope, _ := p.gather.slope(t)
		return after + fmt.Sprintf("it still moves by %+.2f pH a minute, towards %.2f ± %.2g: a slow or drifting electrode, or a standard that is warming up", 60*slope, e.End, e.SD)
	}
	return after + fmt.Sprintf("it has not settled, about %.2f ± %.2g", e.End, e.SD)
}

// odd says what is odd about where a reading settled, or nothing.
func (p *Procedure) odd(e probe.Estimate) string {
	ph, err := p.gather.Standard.PH(p.gather.Temp())
	if err != nil {
		return ""
	}
	far := farPH
	if p.gather.mv {
		far = farMV
	}
	if d := math.Abs(e.End - ph); d > far {
		return fmt.Sprintf("it settled at about pH %.2f, %.2f from the standard's %.2f: is the electrode in the beaker of %s, cap off, plug in?",
			e.End, d, ph, p.gather.Standard)
	}
	return ""
}

// Ready says that the electrode is in the standard now, time t in s.
func (p *Procedure) Ready(t float64) {
	if p.stage != Immerse && p.stage != Ask {
		return
	}
	c, _, _ := p.Current()
	p.gather, p.stage, p.why, p.strange = NewGather(c.Standard, t, p.byHand, p.learned), Settle, "", false
}

// Accept takes the present value as it is, at the person's word.
func (p *Procedure) Accept(t float64) error {
	if p.gather == nil || p.stage == Done || p.stage == Immerse {
		return nil
	}
	if p.gather.Count() == 0 {
		return fmt.Errorf("calib: standard %s: %w: no reading has come", p.gather.Standard, ErrValue)
	}
	return p.take(t, true)
}

// Again goes back to putting the electrode into the present standard.
func (p *Procedure) Again() {
	if p.stage == Settle || p.stage == Ask {
		p.gather, p.stage, p.why = nil, Immerse, ""
	}
}

// take makes a point and goes on to the next standard.
func (p *Procedure) take(t float64, byHand bool) error {
	point, err := p.gather.Point(t, byHand)
	if err != nil {
		return err
	}
	c := p.choices[p.i]
	point.At, point.Lot, point.Expiry = p.wall(t), c.Lot, c.Expiry
	if c.Check {
		p.check = &point
	} else {
		p.points = append(p.points, point)
	}
	p.learned = p.gather.Learned()
	p.gather, p.why = nil, ""
	p.stage = Immerse
	if p.i++; p.i == len(p.choices) {
		p.stage = Done
	}
	return nil
}
