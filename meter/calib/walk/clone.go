package walk

import (
	"slices"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/phrase"
)

// A run is a fold over events, and its states share what neither will change. So
// these give a changed copy in place of changing the procedure.

// clone is a copy that can be changed without changing the procedure.
func (p *Procedure) clone() *Procedure {
	c := *p
	c.taken = slices.Clone(p.taken)
	if p.gather != nil {
		g := *p.gather
		g.list = slices.Clip(g.list)
		c.gather = &g
	}
	return &c
}

// During prepares a check of an electrode in use: the standards, the temperature for
// a meter that sends none, the tolerance that it is checked for, pH, and the time of
// day of second 0. What is known of the electrode, nil for nothing, decides what is odd.
func During(list []standards.Standard, byHand chem.Celsius, tolerance float64, zero time.Time, inUse *calib.Calibration) *Procedure {
	choices := phrase.Each(list, func(s standards.Standard) Choice { return Choice{Standard: s} })
	p := NewProcedure(choices, byHand, func(t float64) time.Time { return zero.Add(time.Duration(t * float64(time.Second))) })
	p.Wants(tolerance)
	if inUse != nil && inUse.Usable() && !inUse.Checks() {
		p.expects, _ = calib.Remembered([]calib.Calibration{*inUse}, inUse.At)
	}
	return p
}

// Pushed is Push on a copy.
func (p *Procedure) Pushed(t float64, r meter.Reading) (*Procedure, error) {
	c := p.clone()
	_, err := c.Push(t, r)
	return c, err
}

// Typed is Type on a copy.
func (p *Procedure) Typed(t float64, r meter.Reading, sure bool) (*Procedure, error) {
	c := p.clone()
	return c, c.Type(t, r, sure)
}

// Put is Ready on a copy.
func (p *Procedure) Put(t float64) *Procedure {
	c := p.clone()
	c.Ready(t)
	return c
}

// Accepted is Accept on a copy.
func (p *Procedure) Accepted(t float64) (*Procedure, error) {
	c := p.clone()
	return c, c.Accept(t)
}

// Latest is the estimate that was made last, with nothing worked out anew.
func (g *Gather) Latest() Estimate { return g.given }
