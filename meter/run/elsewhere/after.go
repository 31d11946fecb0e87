package elsewhere

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/view"
)

// turnedBy is by how much, pH, a reading has to have gone against an addition on record for
// it to be no scatter and no slip of the pen. A choice of this project.
const turnedBy = 0.3

// How far, pH, a reading has to have gone, and to be from where it was to, and how near to a
// standard it has to stand, to be asked about. Choices of this project.
const (
	strayBy     = 0.7
	standardBy  = 0.06
	standardSD  = 0.15 // of where a slow electrode will end, up to which it may be that of a standard
	nearlyThere = 0.1  // of the way, that a reading may have to go still to be called at rest there
)

// ledBy is by how much an earlier addition has led its way to tell what is in its bottle, pH.
const ledBy = 0.05

// After is what a run knows of its electrode after an addition.
type After struct {
	Given  given.List
	Latest view.Entry                     // the addition, in force
	Amount func() string                  // it, in words
	Pull   float64                        // the direction in which its bottle moves the reading, 1 or −1
	Est    probe.Estimate                 // of the reading now
	Leads  func() (to, low, high float64) // pH where it was to lead by what was known before it, and between what
}

// Against is what speaks against the reading, in words, where it has come to rest against the
// addition although others of its bottle have led their way, or at the pH of a standard far
// from where it was to lead: the electrode has left the beaker as it fell, or another bottle
// was taken. Nothing is to be ordered on that: 210 drops of strong base were, on the reading
// of a standard. Empty where nothing does.
func (a *After) Against() string {
	est, was := a.Est, a.Latest.Before
	went := est.End - was.End
	if est.State == probe.Moving || est.State == probe.Empty || math.Abs(est.End-est.Now) > math.Max(standardBy, nearlyThere*math.Abs(went)) {
		return ""
	}
	switch {
	case went*a.Pull <= -math.Max(turnedBy, order.MovedSDs*math.Hypot(est.SD, was.SD)) && a.hasLed():
		return "it went against " + a.Amount()
	case math.Abs(went) > strayBy && atStandard(est.End, math.Min(est.SD, standardSD)):
		if to, low, high := a.Leads(); math.Abs(est.End-to) > strayBy+math.Abs(high-low) {
			return fmt.Sprintf("a standard has this pH, and %.2f was expected after %s", to, a.Amount())
		}
	}
	return ""
}

// FromAnother reports whether a belief speaks for an addition from another bottle than is on
// record.
func FromAnother(bel belief.Belief) bool {
	list, sure := bel.Suspects()
	return len(list) > 0 && list[0].Exchanged > 0 && sure >= belief.NamedAt
}

// hasLed reports whether an addition before the latest has led the way its bottle should.
func (a *After) hasLed() bool {
	var last *view.Entry
	for i := range a.Given {
		e := &a.Given[i]
		if e.Undone {
			continue
		}
		if last != nil && last.Stock == a.Latest.Stock && (e.Before.End-last.Before.End)*a.Pull > ledBy {
			return true
		}
		last = e
	}
	return false
}

// atStandard reports whether a reading is that of a usual standard: phthalate, phosphate,
// borax or carbonate at room temperature (NIST primary and technical standards).
func atStandard(ph, sd float64) bool {
	for _, of := range [...]float64{4.01, 7.00, 9.18, 10.01} {
		if math.Abs(ph-of) <= math.Max(standardBy, sd) {
			return true
		}
	}
	return false
}
