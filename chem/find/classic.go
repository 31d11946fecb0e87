package find

import "math"

// Dot is a point of a titration as a notebook has it.
type Dot struct{ ML, PH float64 }

// Classic are the answers that are read off a curve without a model, mL; NaN
// where a curve does not give one.
type Classic struct {
	Steepest float64 // middle of the interval with the largest ΔpH/ΔV
	Second   float64 // zero of the second difference, by a straight line between its values
	// Gran before and after the equivalence point: G. Gran, Analyst 77, 661 (1952)
	// (method seen; page from memory).
	Before, After float64
}

// Near is where classical answers are looked for, in mL: about ML, in a sample of Start.
// Prev and Next are the equivalence points before and after it, 0 for none. Between two
// points an acid goes from one form into the next, and what that one has taken up counts from
// Prev and up to Next: Gran's functions of a dibasic acid (G. Gran, Analyst 77, 661 (1952):
// from memory).
type Near struct{ ML, Start, Prev, Next float64 }

// Classical works the answers out. strong says that the sample is a strong acid or base,
// whose function of Gran is that of its own ion.
func Classical(d []Dot, at Near, strong bool) Classic {
	c := Classic{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	c.Steepest, c.Second = leaps(d, at.ML)
	dir := 1.0
	if len(d) > 1 && d[len(d)-1].PH < d[0].PH {
		dir = -1
	}
	// Before it a weak acid has V·10^(−pH) ∝ Vₑ − V, a strong one (V₀+V)·10^(−pH);
	// after it (V₀+V)·10^(pH) ∝ V − Vₑ. With acid the signs of pH turn round.
	width := at.ML - at.Prev
	c.Before = granZero(d, func(p Dot) (float64, bool) {
		v := p.ML - at.Prev
		in := v > granFrom*width && v < granTo*width
		if strong {
			v = p.ML + at.Start
		}
		return v * math.Pow(10, -dir*(p.PH-7)), in
	}, granSpan*width)
	c.After = granZero(d, func(p Dot) (float64, bool) {
		if at.Next > at.ML {
			v := (at.Next - p.ML) / (at.Next - at.ML)
			return (at.Next - p.ML) * math.Pow(10, dir*(p.PH-7)), v < 1-granClose && v > granFrom
		}
		return (at.Start + p.ML) * math.Pow(10, dir*(p.PH-7)), p.ML > granBeyond*at.ML && p.ML < granFar*at.ML
	}, 0)
	return c
}

// Stretches of the curve for Gran, as shares of the equivalence volume (choice).
const (
	granFrom   = 0.4
	granTo     = 0.97
	granBeyond = 1.01
	granFar    = 1.6
	granClose  = 0.03 // of the way to the next point
	granSpan   = 0.1  // of the way to the point, that readings before it are apart: a line goes on from what lies close together anyhow
)

// leapNear is how far from the expected volume a steepest point is looked for.
const leapNear = 0.25

// leaps are the steepest point and the zero of the second difference.
func leaps(d []Dot, ml float64) (steepest, second float64) {
	steepest, second = math.NaN(), math.NaN()
	type slope struct{ v, s float64 }
	var list []slope
	for i := 1; i < len(d); i++ {
		if w := d[i].ML - d[i-1].ML; w > 0 {
			list = append(list, slope{(d[i].ML + d[i-1].ML) / 2, (d[i].PH - d[i-1].PH) / w})
		}
	}
	k := -1
	for i, s := range list {
		if math.Abs(s.v-ml) <= leapNear*ml && (k < 0 || math.Abs(s.s) > math.Abs(list[k].s)) {
			k = i
		}
	}
	if k < 0 {
		return steepest, second
	}
	steepest = list[k].v
	if k == 0 || k == len(list)-1 {
		return steepest, second
	}
	bend := func(a, c slope) (at, by float64) { return (a.v + c.v) / 2, (c.s - a.s) / (c.v - a.v) }
	v1, b1 := bend(list[k-1], list[k])
	v2, b2 := bend(list[k], list[k+1])
	if b1*b2 < 0 {
		second = v1 + (v2-v1)*b1/(b1-b2)
	}
	return steepest, second
}

// granZero is where the straight line through a function of Gran is zero; NaN
// with fewer than two points, or points that are less than span mL apart.
func granZero(d []Dot, f func(Dot) (float64, bool), span float64) float64 {
	var n, sx, sy, sxx, sxy float64
	from, to := math.Inf(1), math.Inf(-1)
	for _, p := range d {
		if y, in := f(p); in {
			from, to = math.Min(from, p.ML), math.Max(to, p.ML)
			n, sx, sy, sxx, sxy = n+1, sx+p.ML, sy+y, sxx+p.ML*p.ML, sxy+p.ML*y
		}
	}
	det := n*sxx - sx*sx
	if n < 2 || det <= 0 || to-from < span {
		return math.NaN()
	}
	slope := (n*sxy - sx*sy) / det
	return -(sy - slope*sx) / n / slope
}
