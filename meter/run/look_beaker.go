package run

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// lookAtBeaker fills in what was given, what was read of it, and where the aim is.
func (s *State) lookAtBeaker(v *view.View) {
	hist := s.history()
	charge := 0.0
	at := []float64{0}
	for _, a := range hist.Additions {
		v.Volume += a.Volume
		charge += s.bench.LabelledCharge(a)
		at = append(at, charge)
	}
	v.Charge = charge
	for _, o := range s.observed {
		v.Points = append(v.Points, view.Point{After: o.After, Charge: at[min(o.After, len(at)-1)], PH: o.PH, SD: o.SD})
	}
	if v.HasReading && v.Settling.State != probe.Empty && !s.track.Unread() {
		v.Points = append(v.Points, view.Point{After: len(hist.Additions), Charge: charge, PH: v.Stands(), SD: v.Settling.SD})
	}
	f := s.forecast
	for j, need := range f.Need {
		if !math.IsNaN(need) {
			v.Aimed = s.bench.LabelledCharge(coach.Addition{Stock: j, Volume: chem.Volume(need)})
			break
		}
	}
}

// Curve is the titration curve as believed now, over the given range of
// labelled charge, in n points.
func (s State) Curve(from, to chem.Amount, n int) []coach.CurvePoint {
	return s.bench.Curve(s.history(), from, to, n)
}

// Forecast is what the plan alone predicts at the present temperature.
func (s State) Forecast() coach.Forecast { return s.forecast }
