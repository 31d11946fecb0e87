package calib

import (
	"math"
	"time"

	"example.org/halfdrop/chem"
)

// Point is the settled reading of an electrode in one standard.
type Point struct {
	Standard   string    `json:"standard"` // nominal value: "7.00"
	Set        Set       `json:"set"`
	At         time.Time `json:"at"`
	TempC      float64   `json:"temp_c"`
	TempByHand bool      `json:"temp_by_hand,omitempty"` // not measured by the meter
	PH         float64   `json:"ph"`                     // of the standard at that temperature
	MV         *float64  `json:"mv,omitempty"`           // settled, when the meter sends mV
	Shown      *float64  `json:"shown_ph,omitempty"`     // settled, when the meter sends pH
	SD         float64   `json:"sd_ph"`                  // spread of the settled value, pH
	TauS       float64   `json:"tau_s,omitempty"`        // time constant of the approach, s
	Seconds    float64   `json:"seconds,omitempty"`      // waited for
	ByHand     bool      `json:"taken_by_hand,omitempty"`
	Lot        string    `json:"lot,omitempty"`
	Expiry     string    `json:"expiry,omitempty"` // 2027-03, 2027-03-31
}

// NewPoint is a point in a standard at a temperature, its pH from the table.
func NewPoint(s Standard, t chem.Celsius) (Point, error) {
	ph, err := s.PH(t)
	return Point{Standard: s.Name, Set: s.Set, TempC: float64(t), PH: ph}, err
}

// quantity is the potential of the point, mV; for a meter that sends only pH,
// the potential of an ideal electrode that would make it show that.
func (p Point) potential() float64 {
	switch {
	case p.MV != nil:
		return *p.MV
	case p.Shown != nil:
		return IdealMV(*p.Shown, chem.Celsius(p.TempC))
	}
	return math.NaN()
}

// label names the standard of the point for people.
func (p Point) label() string {
	if p.Set == Technical20 {
		return p.Standard + " (at 20 °C)"
	}
	return p.Standard
}

// expired reports whether the bottle was past its date, and the date.
func (p Point) expired() bool {
	for _, layout := range []string{"2006-01-02", "2006-01"} {
		d, err := time.Parse(layout, p.Expiry)
		if err != nil {
			continue
		}
		if layout == "2006-01" {
			d = d.AddDate(0, 1, -1) // good to the end of the month
		}
		return p.At.After(d.AddDate(0, 0, 1))
	}
	return false
}

// GoodExpiry reports whether a date can be read as that of a bottle.
func GoodExpiry(s string) bool {
	for _, layout := range []string{"2006-01-02", "2006-01"} {
		if _, err := time.Parse(layout, s); err == nil {
			return true
		}
	}
	return s == ""
}
