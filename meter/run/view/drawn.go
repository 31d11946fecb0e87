package view

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/probe"
)

// Stands is where the beaker is drawn now: where its reading will end, and what the meter
// shows while that is anybody's guess.
func (v View) Stands() float64 {
	if e := v.Settling; e.State == probe.Moving || e.SD >= EndSD {
		return v.PH
	}
	return v.Settling.End
}

// Span is the range of labelled charge worth drawing: of a beaker that nobody weighed from
// here on, since what is believed of it holds near the last reading only.
func (v View) Span() (from, to chem.Amount, n int) {
	to = chem.Amount(1.25 * v.Aimed)
	if math.Abs(v.Charge) > math.Abs(float64(to))*0.95 {
		to = chem.Amount(1.25 * v.Charge)
	}
	if to == 0 {
		to = 1e-6
	}
	if v.Unweighed {
		from = chem.Amount(v.Charge)
	}
	return from, to, curvePoints
}

// curvePoints is how many points of the curve a view carries.
const curvePoints = 161
