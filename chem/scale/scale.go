// Package scale has the linear scale of a drawn figure, with round ticks.
package scale

import "math"

// Scale maps values from Lo to Hi to places between From and To, with a tick every
// Step; Hi is above Lo, and Step above zero.
type Scale struct{ Lo, Hi, From, To, Step float64 }

// At is the place of a value.
func (s Scale) At(v float64) float64 { return s.From + (v-s.Lo)/(s.Hi-s.Lo)*(s.To-s.From) }

// Ticks are the multiples of the step from Lo to Hi.
func (s Scale) Ticks() []float64 {
	var out []float64
	for i := math.Ceil(s.Lo/s.Step - 1e-9); i*s.Step <= s.Hi+1e-9*s.Step; i++ {
		out = append(out, i*s.Step+0) // +0 turns −0 into 0
	}
	return out
}

// Round is the 1, 2 or 5 times a power of ten next above a rough step.
func Round(rough float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(rough)))
	for _, k := range []float64{1, 2, 5} {
		if k*p >= rough {
			return k * p
		}
	}
	return 10 * p
}
