package widget

import (
	"math"
	"slices"
	"strconv"
)

// Axis maps values from Lo to Hi onto N steps.
type Axis struct {
	Lo, Hi float64
	N      int
}

// At is the step on which a value lies: -1 below the axis, N above it, and
// -1 for what is no number.
func (a Axis) At(v float64) int {
	if !(a.Hi > a.Lo) || a.N < 2 {
		return 0
	}
	at := (v - a.Lo) / (a.Hi - a.Lo) * float64(a.N-1)
	switch {
	case at > float64(a.N):
		return a.N
	case at >= -1:
		return int(math.Round(at))
	}
	return -1
}

// value is the value in the middle of a step.
func (a Axis) value(i int) float64 {
	if a.N < 2 {
		return a.Lo
	}
	return a.Lo + (a.Hi-a.Lo)*float64(i)/float64(a.N-1)
}

// Has reports whether a value lies on the axis.
func (a Axis) Has(v float64) bool { return v >= a.Lo && v <= a.Hi }

// roundStep is a round step, 1, 2 or 5 times a power of ten, that cuts a span into
// at most n pieces.
func roundStep(span float64, n int) float64 {
	if !(span > 0) || math.IsInf(span, 0) || n < 1 {
		return 1
	}
	raw := span / float64(n)
	p := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 5} {
		if m*p >= raw*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// Graduate widens an axis so that round values fall on whole cells, as many cells
// from each to the next, and is the step between them and the decimals it needs. A
// cell is so many of the axis's steps; there are at least gap cells between two
// values. An axis that is too short for that stays as it is.
func (a Axis) Graduate(cell, gap int) (b Axis, step float64, decimals int) {
	span, cells := a.Hi-a.Lo, a.N/max(cell, 1)
	if !(span > 0) || !finite(a.Lo, a.Hi) || cell < 1 || cells < 2 {
		return a, roundStep(span, 1), 0
	}
	b, step = a.graduated(cell, gap, 0, 1, 2, 5)
	if cells <= 10 && len(b.labelled(cell).Marks(step)) < 2 { // on a short axis fours are round, too
		if c, s := a.graduated(cell, gap, 2, 1, 2, 4, 5); s > 0 && c.Hi-c.Lo <= min(1.35*(b.Hi-b.Lo), 2*span) {
			b, step = c, s
		}
	}
	if step == 0 {
		step = roundStep(span, max(1, cells/gap))
	}
	return b, step, decimalsOf(step)
}

// decimalsOf is how many decimals the multiples of a step need.
func decimalsOf(step float64) int { return max(0, -int(math.Floor(math.Log10(step)+1e-9))) }

// labelled is the axis without its last cell, which the name of the axis may take.
func (a Axis) labelled(cell int) Axis {
	a.Hi -= (a.Hi - a.Lo) * float64(cell) / float64(max(a.N-1, 1))
	return a
}

// graduated is the axis for the best step of the numbers given, times a power of ten,
// that leaves at least so many values to be labelled; the step is 0 when there is none.
func (a Axis) graduated(cell, gap, least int, numbers ...float64) (b Axis, step float64) {
	span, cells, best := a.Hi-a.Lo, a.N/cell, math.Inf(1)
	b = a
	for e := math.Floor(math.Log10(span)) - 3; e <= math.Floor(math.Log10(span))+1; e++ {
		for _, m := range numbers {
			s := m * math.Pow(10, e)
			for k := gap; k <= max(3*gap, gap+3) && k < cells; k++ {
				d := s / float64(k*cell)       // of one step of the axis
				mid := float64((cell - 1) / 2) // round values in the middle of their cells
				lo := (math.Floor((a.Lo/d+mid)/float64(cell)+1e-9)*float64(cell) - mid) * d
				hi := lo + d*float64(a.N-1)
				worth := (hi - lo) * (1 + 0.15*float64(k-gap)/float64(gap)) // rather more numbers than a little less room
				c := Axis{Lo: lo, Hi: hi, N: a.N}
				if hi < a.Hi-1e-9*span || worth >= best || len(c.labelled(cell).Marks(s)) < least {
					continue
				}
				best, b, step = worth, c, s
			}
		}
	}
	return b, step
}

// Marks are the multiples of a step on an axis.
func (a Axis) Marks(step float64) (at []float64) {
	if !(step > 0) || !finite(a.Lo, a.Hi) || (a.Hi-a.Lo)/step > 1000 {
		return nil
	}
	for i := math.Ceil(a.Lo/step - 1e-9); i*step <= a.Hi+step*1e-9; i++ {
		at = append(at, i*step)
	}
	return at
}

// Ticks are the round values on the axis, at most n+1 of them, and how many decimals they
// need.
func (a Axis) Ticks(n int) (at []float64, decimals int) {
	if !finite(a.Lo, a.Hi) {
		return nil, 0
	}
	step := roundStep(a.Hi-a.Lo, n)
	at = a.Marks(step)
	return at[:min(len(at), n+1)], decimalsOf(step)
}

// finite reports whether all values are numbers that can be drawn.
func finite(values ...float64) bool {
	return !slices.ContainsFunc(values, func(v float64) bool { return math.IsNaN(v) || math.Abs(v) > 1e12 })
}

// Number is a value with a fixed number of decimals, never "-0".
func Number(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', max(decimals, 0), 64)
	if math.Signbit(v) {
		if z, err := strconv.ParseFloat(s, 64); err == nil && z == 0 {
			return s[1:]
		}
	}
	return s
}
