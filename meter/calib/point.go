package calib

import (
	"math"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/phrase"
)

// Point is the settled reading of an electrode in one standard.
type Point struct {
	Standard   string        `json:"standard"` // nominal value: "7.00"
	Set        standards.Set `json:"set"`
	At         time.Time     `json:"at"`
	TempC      float64       `json:"temp_c"`
	TempByHand bool          `json:"temp_by_hand,omitempty"` // not measured by the meter
	PH         float64       `json:"ph"`                     // of the standard at that temperature
	MV         *float64      `json:"mv,omitempty"`           // settled, when the meter sends mV
	Shown      *float64      `json:"shown_ph,omitempty"`     // settled, when the meter sends pH
	SD         float64       `json:"sd_ph"`                  // spread of the settled value, pH
	Cov        []float64     `json:"cov_mv2,omitempty"`      // with each of the points before, and its own, mV²
	TauS       float64       `json:"tau_s,omitempty"`        // time constant of the approach, s
	TailS      float64       `json:"tail_s,omitempty"`       // instead, where the last part of the way was all that was seen, s
	Late       float64       `json:"late_share,omitempty"`   // share of the late part
	Noise      float64       `json:"noise_mv,omitempty"`     // standard deviation of one reading, mV, in all dips
	Hiss       float64       `json:"hiss_mv,omitempty"`      // the same in this dip alone, from one reading to the next
	Restless   bool          `json:"restless,omitempty"`     // it had not come to rest when it was taken
	Seconds    float64       `json:"seconds,omitempty"`      // waited for
	ByHand     bool          `json:"taken_by_hand,omitempty"`
	Typed      bool          `json:"typed,omitempty"` // a person read it off the meter and typed it
	Lot        string        `json:"lot,omitempty"`
	Expiry     string        `json:"expiry,omitempty"` // 2027-03, 2027-03-31
}

// NewPoint is a point in a standard at a temperature, its pH from the table.
func NewPoint(s standards.Standard, t chem.Celsius) (Point, error) {
	ph, err := s.PH(t)
	return Point{Standard: s.Name, Set: s.Set, TempC: float64(t), PH: ph}, err
}

// Rest is the potential at which an electrode came to rest.
type Rest struct {
	MV, SD float64 // mV
	Sent   bool    // by the meter; of one that sends only pH it is that of the pH shown
}

// Read gives the point its potential.
func (p *Point) Read(l Rest) {
	t := chem.Celsius(p.TempC)
	p.SD = phrase.Decimals(l.SD/nernst.Slope(t), 4)
	if !l.Sent {
		ph := phrase.Decimals(nernst.PH(l.MV, t), 4)
		p.Shown = &ph
		return
	}
	mv := phrase.Decimals(l.MV, 2)
	p.MV = &mv
}

// Refine moves the potential to what it has turned out to be, and with it the pH
// that the meter shows.
func (p *Point) Refine(l Rest) {
	was := p.Potential()
	shown := p.Shown
	p.Read(l)
	if l.Sent && shown != nil {
		ph := phrase.Decimals(*shown-(l.MV-was)/nernst.Slope(chem.Celsius(p.TempC)), 4)
		p.Shown = &ph
	}
}

// Potential is the potential of the point, mV; for a meter that sends only pH,
// the potential of an ideal electrode that would make it show that.
func (p Point) Potential() float64 {
	switch {
	case p.MV != nil:
		return *p.MV
	case p.Shown != nil:
		return nernst.MV(*p.Shown, chem.Celsius(p.TempC))
	}
	return math.NaN()
}

// Label names the standard of the point for people.
func (p Point) Label() string {
	if p.Set == standards.Technical20 {
		return p.Standard + " (at 20 °C)"
	}
	return p.Standard
}

// Expired reports whether a bottle that is good until a date, "2027-03" or "2027-03-31",
// is past it at a time; false for another text, or none.
func Expired(until string, at time.Time) bool {
	if day, err := time.Parse(time.DateOnly, until); err == nil {
		return at.After(day.AddDate(0, 0, 1))
	}
	month, err := time.Parse(monthOnly, until)
	return err == nil && at.After(month.AddDate(0, 1, 0)) // good to the end of the month
}

const monthOnly = "2006-01"

// GoodExpiry reports whether a date can be read as that of a bottle.
func GoodExpiry(s string) bool {
	_, noDay := time.Parse(time.DateOnly, s)
	_, noMonth := time.Parse(monthOnly, s)
	return s == "" || noDay == nil || noMonth == nil
}

// Tenth is a number to one decimal that is never minus zero.
func Tenth(x float64) float64 { return phrase.Decimals(x, 1) + 0 }
