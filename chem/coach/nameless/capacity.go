package nameless

import (
	"math"

	"example.org/halfdrop/chem"
)

// Capacity is what is thought of the buffer capacity of the beaker at hand before it was
// measured, mol per pH, from pH 0 to 14.
type Capacity struct {
	ln  [capacityPoints]float64 // of it
	sum [capacityPoints]float64 // its integral from capacityLow on
}

const (
	capacityPoints = 57
	capacityLow    = 0.0  // pH
	capacityHigh   = 14.0 // pH
	capacityStep   = (capacityHigh - capacityLow) / (capacityPoints - 1)
)

// CapacityOf is the capacity that is mol per pH at each pH, above 0 everywhere.
func CapacityOf(at func(ph chem.PH) float64) (c Capacity) {
	for i := range c.ln {
		c.ln[i] = math.Log(at(chem.PH(capacityLow + float64(i)*capacityStep)))
		if i > 0 {
			c.sum[i] = c.sum[i-1] + c.piece(i-1, 1)
		}
	}
	return c
}

// A beaker that nobody weighed has a capacity that is about the same at every pH before any
// reading, give or take a factor of ten, above that of the water. A choice of this project:
// buffers of 2 to 500 mmol/L, of one or more systems.
const unweighedMid = 0.010 // mol/L per pH, the middle of what is thought of

// Unweighed is the capacity of a volume that nobody weighed anything for: that of its water,
// and a middling one along pH.
func Unweighed(v chem.Volume) Capacity {
	return CapacityOf(func(ph chem.PH) float64 {
		water := math.Ln10 * (math.Pow(10, -float64(ph)) + math.Pow(10, float64(ph)-waterPK))
		return v.Litres() * (unweighedMid + water)
	})
}

// waterPK is that of water at 25 °C, rounded: it is only to say where water begins
// to buffer.
const waterPK = 14.0

// place is between which points a pH lies, and how far from the first.
func (c *Capacity) place(ph float64) (i int, t float64) {
	x := (ph - capacityLow) / capacityStep
	i = int(math.Max(0, math.Min(math.Floor(x), capacityPoints-2)))
	return i, math.Max(0, math.Min(x-float64(i), 1))
}

// piece is the integral from a point to the part t of the way to the next, along
// a straight line of the logarithm.
func (c *Capacity) piece(i int, t float64) float64 {
	k := c.ln[i+1] - c.ln[i]
	if math.Abs(k) < 1e-9 {
		return math.Exp(c.ln[i]) * t * capacityStep
	}
	return math.Exp(c.ln[i]) * math.Expm1(k*t) / k * capacityStep
}

// at is the capacity at a pH.
func (c *Capacity) at(ph float64) float64 {
	i, t := c.place(ph)
	return math.Exp(c.ln[i] + t*(c.ln[i+1]-c.ln[i]))
}

// upTo is the integral from capacityLow to a pH.
func (c *Capacity) upTo(ph float64) float64 {
	i, t := c.place(ph)
	return c.sum[i] + c.piece(i, t)
}

// integral of the capacity from one pH to another, with its sign.
func (c *Capacity) integral(from, to float64) float64 { return c.upTo(to) - c.upTo(from) }

// Law is how the capacity may differ from what was thought of it: standard deviations of its
// logarithm, and how far along pH a difference is the same.
type Law struct {
	Whole  float64 // ln, of the capacity as a whole
	Shape  float64 // ln, of its shape
	Length float64 // pH, over which that is the same
}

// The laws of a beaker that is somehow like its plan, and of one that has none. A choice of
// this project, tried apart from this program.
var (
	LikePlan = Law{Whole: 0.7, Shape: 0.5, Length: 1.2}
	Unknown  = Law{Whole: 1.1, Shape: 0.9, Length: 1.3}
)

const bottleSD = 0.15 // ln, of one bottle against the others; a choice, too

// curve is the covariance of ln capacity at two pH.
func (l *Law) curve(a, b float64) float64 {
	d := (a - b) / l.Length
	return l.Whole*l.Whole + l.Shape*l.Shape*math.Exp(-d*d/2)
}

// alike is the covariance of the mean of ln capacity over two spans.
func (l *Law) alike(a, b *span) float64 {
	const n = 3
	sum := 0.0
	for i := range n {
		for j := range n {
			x := a.from + (a.to-a.from)*(float64(i)+0.5)/n
			y := b.from + (b.to-b.from)*(float64(j)+0.5)/n
			sum += l.curve(x, y)
		}
	}
	sum /= n * n
	if a.stock == b.stock {
		sum += bottleSD * bottleSD
	}
	return sum
}
