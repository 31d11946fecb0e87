package probe

import "math"

// Figures of judgement for noise that is not white, a choice of this project.
const (
	humSpan  = 60.0 // readings over which it is learned
	humLate  = 12   // readings until one counts: what begins to move is no noise
	humFrom  = 0.12 // correlation that white noise shows by chance
	humMost  = 0.75
	humMean  = 15.0 // readings over which their mean is taken: what has a direction is no noise
	humGiven = 8.0  // readings of white noise that are taken to have been before
)

// hum is the correlation of successive residuals: stirring and slow electronics make
// noise that takes some seconds to change, and the sum of such residuals goes further
// than that of white ones.
type hum struct {
	product, square float64
	weight          float64
	last, mean      float64
	wait            [humLate]float64 // products that do not count yet
	squares         [humLate]float64
	n               int
}

// push takes a residual in standard deviations.
func (h hum) push(z float64) hum {
	z = math.Max(-3, math.Min(3, z))
	off := z - h.mean
	h.mean += off / humMean
	z = off
	i := h.n % humLate
	if h.n >= humLate {
		const keep = 1 - 1/humSpan
		h.product = keep*h.product + h.wait[i]
		h.square = keep*h.square + h.squares[i]
		h.weight = keep*h.weight + 1
	}
	h.wait[i], h.squares[i] = z*h.last, z*z
	h.last = z
	h.n++
	return h
}

// correlation is that of residuals that follow each other, 0 for white noise.
func (h hum) correlation() float64 {
	r := h.product/(h.square+humGiven) - humFrom
	return math.Max(0, math.Min(humMost, r/(1-humFrom)))
}

// louder is by how much the sum of residuals spreads more than that of white ones:
// the root of (1+r)/(1−r) for an autoregression of the first order (G. E. P. Box, G.
// M. Jenkins, Time Series Analysis, 1970, from memory).
func (h hum) louder() float64 {
	r := h.correlation()
	return math.Sqrt((1 + r) / (1 - r))
}
