package chem

import (
	"fmt"
	"math"
)

// Doubt is a reason to trust a result less.
type Doubt uint8

// The doubts a result may carry.
const (
	// HighStrength: the ionic strength is above 0.5 mol/kg, outside the range
	// of the activity model.
	HighStrength Doubt = iota + 1
	// Unverified: the pH rests on a pK that no second publication confirms.
	Unverified
	// HeatUnknown: away from 25 °C, and the heat of a step that matters is not known.
	HeatUnknown
	// Unbuffered: a trace of carbon dioxide from the air would move the pH.
	Unbuffered
	// NoActivities: computed for an ideal solution.
	NoActivities
)

// Flag is a doubt and what it is about.
type Flag struct {
	Doubt  Doubt
	System string // for Unverified and HeatUnknown
	Step   int    // place in System.Steps, from 1
	PK     float64
}

// String says the flag in words.
func (f Flag) String() string {
	switch f.Doubt {
	case HighStrength:
		return "ionic strength above 0.5 mol/kg: outside the range of the activity model"
	case Unverified:
		return fmt.Sprintf("%s pK %.2f is unverified: no second publication confirms it", f.System, f.PK)
	case HeatUnknown:
		return fmt.Sprintf("%s pK %.2f: its change with temperature is not known", f.System, f.PK)
	case Unbuffered:
		return "hardly buffered: a trace of carbon dioxide moves this pH"
	case NoActivities:
		return "ideal solution: activity coefficients are off"
	}
	return "unknown doubt"
}

// traceAcid is the CO₂ that water picks up between the still and the beaker,
// mol/kg: a third of what air keeps dissolved at 25 °C. Our own choice.
const traceAcid = 5e-6

// doubt is the spread of the pH and the reasons for it.
//
// The spread adds, in quadrature: the model, 0.02 up to an ionic strength of
// 0.1 and then growing with it and with Δz² of the forms that buffer (graded
// on the published tables of testdata); the constants, each pK by its own
// spread and by that of its heat; and a trace of carbon dioxide.
func (d *description) doubt() (float64, []Flag) {
	var flags []Flag
	if d.model.law == idealLaw {
		flags = append(flags, Flag{Doubt: NoActivities})
	}
	if d.eq.Strength > daviesLimit {
		flags = append(flags, Flag{Doubt: HighStrength})
	}
	v := d.modelSpread()
	v *= v
	for i, s := range d.model.sys {
		if d.comp.Totals[i] == 0 || d.model.row[i].gas {
			continue
		}
		for j, st := range s.Steps {
			slope := d.sensitivity(i, j)
			e := slope * st.spreadAt(d.solution.Temp)
			v += e * e
			if math.Abs(slope) > 0.02 && st.Unverified {
				flags = append(flags, Flag{Unverified, s.Name, j + 1, st.PK})
			}
			if math.Abs(e) > 0.02 && st.SlopeSpread >= heatUnknown {
				flags = append(flags, Flag{HeatUnknown, s.Name, j + 1, st.PK})
			}
		}
	}
	if d.model.pco2 == 0 {
		e := min(traceAcid*d.comp.Water/d.model.Capacity(&d.comp, d.eq), 1.5)
		v += e * e
		if e > 0.05 {
			flags = append(flags, Flag{Doubt: Unbuffered})
		}
	}
	return math.Sqrt(v), flags
}

// heatUnknown is the spread of ΔH, kJ/mol, from which it counts as not known.
const heatUnknown = 10

// spreadAt is one standard deviation of the pK at t.
func (s Step) spreadAt(t Celsius) float64 {
	x := s.SlopeSpread * 1000 / (gasConstant * math.Ln10) * (1/t.Kelvin() - 1/refKelvin)
	return math.Hypot(s.Spread, x)
}

// modelSpread is one standard deviation of the activity model.
func (d *description) modelSpread() float64 {
	i := d.eq.Strength
	if i <= 0.1 {
		return 0.02
	}
	dz := 1.0
	out := 0.02 + 0.04*(min(i, daviesLimit)-0.1)*(1+dz)
	if i > daviesLimit {
		out += 0.1 * math.Sqrt(i-daviesLimit) * (1 + dz)
	}
	return out
}

// sensitivity is dpH/dpK of step j of system i at a constant ionic strength.
func (d *description) sensitivity(i, j int) float64 {
	r := d.model.row[i]
	h := math.Pow(10, -d.eq.PH)
	// A higher pK of the step raises every form left of it by the same
	// factor: the charge changes by the covariance of z with being left of it.
	f := d.model.fractions(i, h, &d.medium)
	var left, mean, meanLeft float64
	for k, x := range f {
		z := float64(r.z0 - k)
		mean += x * z
		if k <= j {
			left += x
			meanLeft += x * z
		}
	}
	s := d.model.at(h, &d.medium, &d.comp)
	return d.comp.Totals[i] * (meanLeft - left*mean) / s.chargeH()
}
