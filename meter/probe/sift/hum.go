package sift

import "math"

// Figures of judgement for noise that is not white, a choice of this project.
const (
	humSpan  = 60.0 // readings over which it is learned
	humLate  = 12   // readings until one counts: what begins to move is no noise
	humFrom  = 0.12 // correlation that white noise shows by chance
	humMost  = 0.75
	humGiven = 8.0 // readings of white noise that are taken to have been before
)

// Hum is the correlation of successive residuals: stirring and slow electronics make
// noise that takes some seconds to change, and the sum of such residuals goes further
// than that of white ones. It is taken from the squares of their differences over one
// reading and over two, in which what has a direction hardly counts. It is a value; the zero
// one has seen none.
type Hum struct {
	one, two  float64    // sums of squares
	last      [2]float64 // the latest residuals
	wait      [humLate][2]float64
	n, counts int
}

// Push takes a residual in standard deviations.
func (h Hum) Push(z float64) Hum {
	z = math.Max(-3, math.Min(3, z))
	if h.n >= 2 {
		i := h.counts % humLate
		if h.counts >= humLate {
			const keep = 1 - 1/humSpan
			h.one = keep*h.one + h.wait[i][0]
			h.two = keep*h.two + h.wait[i][1]
		}
		h.wait[i] = [2]float64{(z - h.last[0]) * (z - h.last[0]), (z - h.last[1]) * (z - h.last[1])}
		h.counts++
	}
	h.last = [2]float64{z, h.last[0]}
	h.n++
	return h
}

// correlation is that of residuals that follow each other, 0 for white noise: of an
// autoregression of the first order the squares are as 2(1−r) to 2(1−r²).
func (h Hum) correlation() float64 {
	r := (h.two+2*humGiven)/(h.one+2*humGiven) - 1 - humFrom
	return math.Max(0, math.Min(humMost, r/(1-humFrom)))
}

// Louder is by how much the sum of residuals spreads more than that of white ones:
// the root of (1+r)/(1−r) for an autoregression of the first order (G. E. P. Box, G.
// M. Jenkins, Time Series Analysis, 1970, from memory).
func (h Hum) Louder() float64 {
	r := h.correlation()
	return math.Sqrt((1 + r) / (1 - r))
}
