package replay

import (
	"math"

	"example.org/halfdrop/chem"
)

// problem is a titration to be fitted.
type problem struct {
	points   []Point
	sign     float64 // +1 for a base as titrant, −1 for an acid
	sample   float64 // mL
	strength float64 // mol/L given; 0 when it is fitted
	temp     chem.Celsius
	kw       float64 // pK of water
}

// params are the unknowns: strength of the titrant, excess of strong base,
// amounts and constants of the sites, shift of the meter.
type params struct {
	molar, excess float64 // mol/L, mol
	n, pk         []float64
	shift         float64
}

func (p *problem) unknowns(m int) int { return 2*m + 3 }

func (q params) vector() []float64 {
	v := append([]float64{q.molar, q.excess}, q.n...)
	return append(append(v, q.pk...), q.shift)
}

func paramsOf(v []float64) params {
	m := (len(v) - 3) / 2
	return params{molar: v[0], excess: v[1], n: append([]float64(nil), v[2:2+m]...), pk: append([]float64(nil), v[2+m:2+2*m]...), shift: v[2+2*m]}
}

// at is the residual charge of a point, mol, its slope with pH, and its
// derivatives.
func (p *problem) at(q params, i int, grad []float64) (residual, slope float64) {
	pt := p.points[i]
	ph, litres := pt.PH+q.shift, (p.sample+pt.ML)/1e3
	m := len(q.pk)
	// Activity of H⁺ to concentration: Davies at the ionic strength of the
	// titrant given so far, which is near enough.
	strength := math.Min(q.molar*pt.ML/1e3/litres+math.Abs(q.excess)/litres+0.001, 0.5)
	root := math.Sqrt(strength)
	gamma := math.Pow(10, -chem.DebyeHuckelA(p.temp)*(root/(1+root)-0.3*strength))
	h, oh := math.Pow(10, -ph)/gamma, math.Pow(10, ph-p.kw)/gamma
	residual = p.sign*q.molar*pt.ML/1e3 + q.excess + (h-oh)*litres
	slope = -math.Ln10 * (h + oh) * litres
	for k := range q.pk {
		a := 1 / (1 + math.Pow(10, q.pk[k]-ph))
		residual -= q.n[k] * a
		b := math.Ln10 * a * (1 - a) * q.n[k]
		slope -= b
		grad[2+k], grad[2+m+k] = -a, b
	}
	grad[0], grad[1], grad[2+2*m] = p.sign*pt.ML/1e3, 1, slope
	if p.strength > 0 {
		grad[0] = 0
	}
	return residual, slope
}

// sd is the spread of the residual of a point: of the reading, and of the volume.
func (p *problem) sd(q params, slope float64) float64 {
	most := p.points[len(p.points)-1].ML / 1e3
	return math.Hypot(slope*readingSD, q.molar*most*volumeSD) + 1e-15
}

// normal fills the weighted normal equations and gives the sum of squares.
// Priors keep the shift small, amounts above zero and constants apart.
func (p *problem) normal(q params, n matrix, g []float64) float64 {
	clear(n.v)
	clear(g)
	grad := make([]float64, len(g))
	total := 0.0
	for i := range p.points {
		clear(grad)
		r, slope := p.at(q, i, grad)
		w := 1 / p.sd(q, slope)
		total += r * r * w * w
		for a := range grad {
			g[a] += grad[a] * r * w * w
			for b := range grad {
				n.v[a*n.n+b] += grad[a] * grad[b] * w * w
			}
		}
	}
	last := len(g) - 1
	prior := func(i int, off, sd float64) {
		total += off * off / (sd * sd)
		g[i] += off / (sd * sd)
		n.v[i*n.n+i] += 1 / (sd * sd)
	}
	prior(last, q.shift, shiftSD)
	if p.strength > 0 {
		prior(0, q.molar-p.strength, 1e-6*p.strength)
	}
	for k := range q.pk {
		prior(2+len(q.pk)+k, q.pk[k]-7, 5)
	}
	return total
}

// refine is Gauss–Newton with Levenberg's damping.
func (p *problem) refine(q params) (params, float64) {
	size := p.unknowns(len(q.pk))
	n, g := newMatrix(size), make([]float64, size)
	at := p.normal(q, n, g)
	damp := 1e-3
	for range 200 {
		try := n.clone()
		for i := range size {
			try.v[i*size+i] *= 1 + damp
			try.v[i*size+i] += 1e-30
		}
		step, ok := try.solve(g)
		if !ok {
			damp *= 10
			continue
		}
		v := q.vector()
		for i := range v {
			v[i] -= step[i]
		}
		next := p.within(paramsOf(v))
		n2, g2 := newMatrix(size), make([]float64, size)
		if to := p.normal(next, n2, g2); to < at {
			done := at-to < 1e-9*at
			q, at, n, g, damp = next, to, n2, g2, damp/5
			if done {
				break
			}
			continue
		}
		if damp *= 4; damp > 1e10 {
			break
		}
	}
	return q, at
}

// within keeps parameters where they mean something.
func (p *problem) within(q params) params {
	q.molar = math.Max(q.molar, 1e-5)
	q.shift = math.Max(-1, math.Min(1, q.shift))
	for k := range q.pk {
		q.n[k] = math.Max(q.n[k], 0)
		q.pk[k] = math.Max(0.5, math.Min(13.5, q.pk[k]))
	}
	return q
}

// add finds the best place for one more site than q has; m 0 is none.
func (p *problem) add(q params, m int) params {
	if m == 0 {
		q.excess = 0
		q, _ = p.refine(q)
		return q
	}
	best, least := q, math.Inf(1)
	most := p.points[len(p.points)-1].ML / 1e3 * q.molar / float64(m+1)
	for pk := 1.5; pk <= 12.5; pk++ {
		try := params{molar: q.molar, excess: q.excess, shift: q.shift / 2,
			n: append(append([]float64(nil), q.n...), most), pk: append(append([]float64(nil), q.pk...), pk)}
		if r, s := p.refine(try); s < least {
			best, least = r, s
		}
	}
	return best
}

// score is Schwarz's criterion with the spread of the points left open.
func (p *problem) score(q params) float64 {
	size := p.unknowns(len(q.pk))
	s := p.normal(q, newMatrix(size), make([]float64, size))
	n := float64(len(p.points))
	return n*math.Log(math.Max(s/n, 1e-3)) + float64(size)*math.Log(n)
}

// covariance is that of the unknowns, scaled by what is left over.
func (p *problem) covariance(q params) matrix {
	size := p.unknowns(len(q.pk))
	n, g := newMatrix(size), make([]float64, size)
	s := p.normal(q, n, g)
	inv, ok := n.inverse()
	if !ok {
		inv = newMatrix(size)
		for i := range inv.v {
			inv.v[i] = math.Inf(1)
		}
		return inv
	}
	free := math.Max(float64(len(p.points)-size), 1)
	k := math.Max(s/free, 0.05)
	for i := range inv.v {
		inv.v[i] *= k
	}
	return inv
}

// ph is the pH of the fitted curve at a volume, mL, by halving: the charge
// falls with pH.
func (p *problem) ph(q params, ml float64) float64 {
	one := *p
	lo, hi := -1.0, 15.0
	grad := make([]float64, p.unknowns(len(q.pk)))
	for range 50 {
		mid := (lo + hi) / 2
		one.points = []Point{{ml, mid}}
		if r, _ := one.at(q, 0, grad); r > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

func (p *problem) rms(q params) float64 {
	s := 0.0
	for _, pt := range p.points {
		d := pt.PH - p.ph(q, pt.ML)
		s += d * d
	}
	return math.Sqrt(s / float64(len(p.points)))
}

// steep reports whether the fitted curve has its steepest place near a
// volume, L: an end that does not show is none.
func (p *problem) steep(q params, v float64) bool {
	ml := v * 1e3
	d := p.points[len(p.points)-1].ML / 100
	here := math.Abs(p.ph(q, ml+d/2) - p.ph(q, ml-d/2))
	before := math.Abs(p.ph(q, ml-2*d) - p.ph(q, ml-3*d))
	after := math.Abs(p.ph(q, ml+3*d) - p.ph(q, ml+2*d))
	return here > 1.15*before && here > 1.15*after
}
