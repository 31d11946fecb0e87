package account

import "slices"

// Noise is a class of the noise of single readings, at one a second: it tells a bench
// meter from a sensor that is less well looked after.
type Noise uint8

const (
	// Unheard: not known, between the others, or of values that somebody reads off a display.
	Unheard Noise = iota
	// Quiet is that of glass on a bench meter.
	Quiet
	// Rough is that of the sensors of practical courses.
	Rough
)

// Classes of noise, pH. Laboratory glass was measured at 0.0008 to 0.002, the sensor of a
// practical course at 0.025 to 0.032, and 0.5 to 0.6 off; the bounds between them are a
// choice of this project.
const (
	quietTo   = 0.010
	roughFrom = 0.018
)

// How likely it is that a scale was calibrated badly, or never: the meter's noise says
// which kind it is. A choice of this project, chosen on seeds 20001 to 20080 of trial.
const (
	quietShifted = 0.02
	roughShifted = 0.7
	// What is known of droppers and bottles beside such a scale is little, too: where pH and
	// drops may both be off, one hides the other until the aim is passed. Part of the badly
	// calibrated.
	roughCareless = 0.4
)

// LateFrom is the share of the late part in the answer of an electrode from which on it
// counts as large. Laboratory glass was measured at 0.005 to 0.04; a choice.
const LateFrom = 0.04

// NoiseOf is the class of the standard deviation of one reading, pH; 0 is not known.
func NoiseOf(sd float64) Noise {
	switch {
	case sd <= 0:
		return Unheard
	case sd <= quietTo:
		return Quiet
	case sd >= roughFrom:
		return Rough
	}
	return Unheard
}

// shifted is how likely a badly calibrated scale is; 0 leaves it at what it is.
func (n Noise) shifted() float64 {
	return [...]float64{Unheard: 0, Quiet: quietShifted, Rough: roughShifted}[n]
}

// weigh gives degrees of care the priors that they have with a meter of this noise: what
// the shifted scales have more, all others have less.
func (n Noise) weigh(all []Care) []Care {
	is := n.shifted()
	if is == 0 {
		return all
	}
	was, sum := 0.0, 0.0
	for _, c := range all {
		sum += c.Prior
		if c.Shift > 1 {
			was += c.Prior
		}
	}
	out := slices.Clone(all)
	for i := range all {
		c := &out[i]
		if c.Shift <= 1 {
			c.Prior *= (1 - is) * sum / (sum - was)
			continue
		}
		c.Prior *= is * sum / was
		if n == Rough {
			both := *c
			both.Prior *= roughCareless
			both.Drop, both.Strength = cares[1].Drop, cares[1].Strength
			c.Prior -= both.Prior
			out = append(out, both)
		}
	}
	return out
}
