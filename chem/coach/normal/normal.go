// Package normal is the standard normal distribution as far as the chances of additions need
// it: exactly, quickly, and as a sum over the values of a factor that is log-normal.
package normal

import "math"

// Central is how many standard deviations lie to either side of the mean within the central
// 95 % (tables of the distribution: Abramowitz & Stegun, Handbook of Mathematical Functions,
// 1964, table 26.1).
const Central = 1.96

// Phi is the standard normal distribution function, 0 to 1.
func Phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// Quantity is one that is normal, with its mean and standard deviation in its own unit.
type Quantity struct{ Mean, SD float64 }

// Within is the chance, 0 to 1, that it is no further than half from 0.
func (q Quantity) Within(half float64) float64 {
	sd := max(q.SD, leastSD)
	return Phi((half-q.Mean)/sd) - Phi((-half-q.Mean)/sd)
}

// leastSD is what a standard deviation counts as at least: what is divided by it stays a number.
const leastSD = 1e-6

// SDOf is the standard deviation of a quantity of which the central 95 % are so wide.
func SDOf(width float64) float64 { return width / (2 * Central) }

// Near is Phi to 2e-9, for sums over many z: a cubic between points at which value and
// slope are known (Hermite). Beyond the last point it is 0 or 1, 1e-11 off.
func Near(z float64) float64 {
	x := (z + reach) * perUnit
	switch {
	case x >= points-1:
		return 1
	case !(x > 0):
		return 0
	}
	i := int(x)
	a, b, t := &table[i], &table[i+1], x-float64(i)
	rise := b.value - a.value
	return a.value + t*(a.step+t*(3*rise-2*a.step-b.step+t*(a.step+b.step-2*rise)))
}

// The table of Near: how far it reaches to both sides, and its points.
const (
	reach   = 6.75
	perUnit = 32
	points  = 2*reach*perUnit + 1
)

// point is the function at a point, and its slope by the way to the next.
type point struct{ value, step float64 }

var table = func() (table [points]point) {
	for i := range table {
		z := float64(i)/perUnit - reach
		table[i] = point{Phi(z), math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) / perUnit}
	}
	return table
}()

// The chance of what a log-normal factor brings is summed over these many equal steps of its
// standard normal, from −span to span.
const (
	Nodes = 25
	span  = 4.2
	Step  = 2 * span / (Nodes - 1)
)

// Z are the values of the standard normal that are summed over, Step apart from the lowest on,
// and Weight their weights, which sum to 1.
var Z, Weight = nodes()

func nodes() (z, w [Nodes]float64) {
	sum := 0.0
	for i := range Nodes {
		z[i] = -span + Step*float64(i)
		w[i] = math.Exp(-z[i] * z[i] / 2)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return z, w
}
