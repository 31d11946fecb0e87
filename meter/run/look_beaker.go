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
		v.Points = append(v.Points, view.Point{After: len(hist.Additions), Charge: charge, PH: stands(v), SD: v.Settling.SD})
	}
	f := s.forecast
	for j, need := range f.Need {
		if !math.IsNaN(need) {
			v.Aimed = s.bench.LabelledCharge(coach.Addition{Stock: j, Volume: chem.Volume(need)})
			break
		}
	}
}

// stands is where the beaker is drawn now: where its reading will end, and what the meter
// shows while that is anybody's guess.
func stands(v *view.View) float64 {
	if e := v.Settling; e.State == probe.Moving || e.SD >= view.EndSD {
		return v.PH
	}
	return v.Settling.End
}

// Curve is the titration curve as believed now, over the given range of
// labelled charge, in n points.
func (s State) Curve(from, to float64, n int) []coach.CurvePoint {
	return s.bench.Curve(s.history(), chem.Amount(from), chem.Amount(to), n)
}

// Forecast is what the plan alone predicts at the present temperature.
func (s State) Forecast() coach.Forecast { return s.forecast }

// span is the range of labelled charge worth drawing: of a beaker that nobody weighed from
// here on, since what is believed of it holds near the last reading only.
func span(v *view.View) (from, to float64, n int) {
	to = 1.25 * v.Aimed
	if math.Abs(v.Charge) > math.Abs(to)*0.95 {
		to = 1.25 * v.Charge
	}
	if to == 0 {
		to = 1e-6
	}
	if v.Unweighed {
		from = v.Charge
	}
	return from, to, curvePoints
}

// curvePoints is how many points of the curve a view carries.
const curvePoints = 161
