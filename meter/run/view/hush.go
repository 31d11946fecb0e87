package view

import (
	"cmp"
	"math"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// Hushed is the view without what the coach knows: no advice, no end value of
// a reading that is still moving, and instead of the curve as believed the
// readings joined. What is said instead is why; it must not be empty.
func (v View) Hushed(why string) View {
	v.Silent = why
	v.Advice = coach.Advice{Do: coach.Wait, Reason: v.quietReason(), Aim: v.Advice.Aim, Tolerance: v.Advice.Tolerance}
	if v.Note == PickupWords || len(v.Spotted) > 0 && v.Note == v.Spotted[0].Words() {
		v.Note = "" // that, too, has been worked out
	}
	v.Titrant, v.Curve, v.Spotted = "", nil, nil
	v.Ordered, v.Was, v.Offer, v.Falling, v.Instead, v.Mark = false, 0, nil, nil, nil, 0 // of an order that nobody has seen
	if v.Settling.State != probe.Settled {
		v.Settling.SD, v.Settling.FinalSD, v.Settling.End = math.Inf(1), math.Inf(1), v.PH
		if n := len(v.Points); n > 0 && v.HasReading {
			v.Points = slices.Clone(v.Points)
			v.Points[n-1].PH = v.PH
		}
	}
	if v.Found != nil { // the answer is worked out, too, and so is where it lies
		v.Found, v.Advice.Aim = v.Found.hushed(), math.NaN()
	}
	if len(v.Points) > 1 {
		for _, p := range v.Points {
			v.Curve = append(v.Curve, coach.CurvePoint{Charge: p.Charge, PH: p.PH, Low: p.PH, High: p.PH})
		}
		slices.SortFunc(v.Curve, func(a, b coach.CurvePoint) int { return cmp.Compare(a.Charge*sign(v.Aimed), b.Charge*sign(v.Aimed)) })
	}
	return v
}

func sign(x float64) float64 { return math.Copysign(1, x) }

// quietReason keeps what a meter that fails says for itself. A reading that the
// coach has found to be none of the beaker is shown like any other.
func (v View) quietReason() coach.Reason {
	_, spotted := Unsound(v.Spotted)
	switch v.Advice.Reason {
	case coach.NoReading, coach.Stale:
		return v.Advice.Reason
	case coach.Faulty:
		if !spotted {
			return v.Advice.Reason
		}
	}
	return coach.Settling
}
