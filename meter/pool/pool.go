// Package pool puts repeats of a determination together: their mean with its
// confidence interval, whether they scatter as much as they claim, and whether one
// of them is an outlier.
package pool

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Value is one determination with the standard deviation that it claims.
type Value struct {
	Name      string
	Value, SD float64
}

// Pooled is what repeats say together.
type Pooled struct {
	N     int
	Mean  float64
	SD    float64 // of the repeats, by their own scatter; NaN of one
	Claim float64 // of one, as they claim: the root of their mean square
	Low   float64 // the confidence interval of the mean, at Level
	High  float64
	Level float64
	// Shared is the part of the claimed spread that repeats have in common (the same
	// balance, burette and meter): the mean does not make it smaller.
	Shared float64
	Total  float64 // the standard deviation of the mean, with what is shared
	// Suspect is the place of the value that lies farthest from the mean, G how far in
	// standard deviations, Critical what Grubbs' test allows; −1 with fewer than three.
	Suspect     int
	G, Critical float64
}

// ErrNone is returned where there is nothing to pool.
var ErrNone = errors.New("no determination to pool")

// level of the confidence interval and of the test.
const level = 0.95

// Outlier reports whether Grubbs' test calls the suspect an outlier.
func (p *Pooled) Outlier() bool { return p.Suspect >= 0 && p.G > p.Critical }

// Repeats pools determinations. shared is the standard deviation, in the unit of
// the values, that all of them have in common.
func Repeats(list []Value, shared float64) (Pooled, error) {
	n := len(list)
	if n == 0 {
		return Pooled{}, ErrNone
	}
	x, claim := make([]float64, n), 0.0
	for i, v := range list {
		x[i] = v.Value
		claim += v.SD * v.SD / float64(n)
	}
	p := Pooled{N: n, Level: level, Claim: math.Sqrt(claim), Shared: shared, Suspect: -1, SD: math.NaN()}
	if n == 1 {
		p.Mean, p.Total = x[0], list[0].SD
		z := distuv.UnitNormal.Quantile((1 + level) / 2)
		p.Low, p.High = p.Mean-z*p.Total, p.Mean+z*p.Total
		return p, nil
	}
	p.Mean, p.SD = stat.MeanStdDev(x, nil)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile((1 + level) / 2)
	half := t * p.SD / math.Sqrt(float64(n))
	z := distuv.UnitNormal.Quantile((1 + level) / 2)
	half = math.Hypot(half, z*shared)
	p.Low, p.High = p.Mean-half, p.Mean+half
	p.Total = math.Hypot(p.SD/math.Sqrt(float64(n)), shared)
	if n >= 3 && p.SD > 0 {
		for i := range x {
			if g := math.Abs(x[i]-p.Mean) / p.SD; g > p.G {
				p.Suspect, p.G = i, g
			}
		}
		p.Critical = Grubbs(n, 1-level)
	}
	return p, nil
}

// Grubbs is the critical value of the two-sided test for one outlier among n
// values at a level of significance: F. E. Grubbs, Technometrics 11, 1 (1969), by
// way of Student's t with n − 2 degrees of freedom at significance/(2n).
func Grubbs(n int, significance float64) float64 {
	f := float64(n)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: f - 2}.Quantile(1 - significance/(2*f))
	return (f - 1) / math.Sqrt(f) * math.Sqrt(t*t/(f-2+t*t))
}

// Median is the middle of some values, the mean of both middles of an even number; NaN of none.
func Median(v []float64) float64 {
	n := len(v)
	if n == 0 {
		return math.NaN()
	}
	v = slices.Sorted(slices.Values(v))
	return (v[(n-1)/2] + v[n/2]) / 2
}
