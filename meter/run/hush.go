package run

import (
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/settle"
)

// Hushed is the view without what the coach knows: no advice, no end value of
// a reading that is still moving, no curve as believed. What is said instead
// is why; it must not be empty.
func (v View) Hushed(why string) View {
	v.Silent = why
	v.Advice = coach.Advice{Do: coach.Wait, Reason: v.quietReason(), Aim: v.Advice.Aim, Tolerance: v.Advice.Tolerance}
	v.Titrant, v.Curve = "", nil
	if v.Settling.State != settle.Settled {
		v.Settling.SD, v.Settling.FinalSD, v.Settling.End = math.Inf(1), math.Inf(1), v.PH
	}
	return v
}

// quietReason keeps what a meter that fails says for itself.
func (v View) quietReason() coach.Reason {
	switch v.Advice.Reason {
	case coach.NoReading, coach.Stale, coach.Faulty:
		return v.Advice.Reason
	}
	return coach.Settling
}
