// Package figure draws the figures of files and pages: a linear scale with round ticks, and
// a picture with axes, grid, the stripe to end in and curves, as SVG.
package figure

import (
	"math"
	"strconv"
)

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

// Range is from where to where something goes.
type Range struct{ From, To float64 }

// NewScale holds a range of values at round ticks, about n of them, along a range of places.
func NewScale(values, places Range, n int) Scale {
	if !(values.To > values.From) {
		values.To = values.From + 1
	}
	s := Scale{From: places.From, To: places.To, Step: Round((values.To - values.From) / float64(n))}
	s.Lo, s.Hi = s.Step*math.Floor(values.From/s.Step+1e-9), s.Step*math.Ceil(values.To/s.Step-1e-9)
	return s
}

// Inside is a value, or the end of the scale that it lies beyond.
func (s Scale) Inside(v float64) float64 { return math.Max(s.Lo, math.Min(s.Hi, v)) }

// label is a tick in the digits of the scale: 6.5, 7.0, 7.5.
func (s Scale) label(v float64) string {
	return strconv.FormatFloat(v, 'f', max(0, int(math.Ceil(-math.Log10(s.Step)-1e-9))), 64)
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
