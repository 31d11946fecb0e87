package fit

import (
	"cmp"
	"math"
	"slices"
)

// How many steps a search takes, and a look at one place of many.
const steps, fewSteps = 120, 12

// refine is Gauss–Newton with Levenberg's damping, of so many steps at most.
func (p *problem) refine(q params, most int) params {
	size := p.unknowns(len(q.pk))
	n, g := newMatrix(size), make([]float64, size)
	at := p.normal(q, n, g)
	damp := 1e-3
	for range most {
		try := n.clone()
		for i := range size {
			try.v[i*size+i] *= 1 + damp
			try.v[i*size+i] += 1e-30
		}
		step, ok := try.solve(g)
		if !ok {
			if damp *= 10; damp > 1e10 {
				break
			}
			continue
		}
		v := q.vector()
		for i := range v {
			v[i] -= step[i]
		}
		next := p.within(paramsOf(v))
		n2, g2 := newMatrix(size), make([]float64, size)
		if to := p.normal(next, n2, g2); to < at {
			done := at-to < 1e-7*at
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
	return q
}

// farthest is how far off a meter is taken to be at most, pH.
const farthest = 1.5

// within keeps parameters where they mean something.
func (p *problem) within(q params) params {
	q.molar = math.Max(q.molar, 1e-5)
	q.shift = math.Max(-farthest, math.Min(farthest, q.shift))
	for k := range q.pk {
		q.n[k] = math.Max(q.n[k], 0)
		q.pk[k] = math.Max(0.5, math.Min(13.5, q.pk[k]))
	}
	return q
}

// strengths are where a search for the strength of the titrant begins, mol/L.
func (p *problem) strengths() []float64 {
	if p.given > 0 {
		return []float64{p.given}
	}
	return []float64{0.01, 0.1, 1}
}

// add finds the best place for the m-th site: beside those of q, and anew with
// the strengths a titrant may have. m 0 is none at all.
func (p *problem) add(q params, m int) params {
	var best params
	least := math.Inf(1)
	try := func(start params) {
		r := p.refine(start, fewSteps)
		if s := p.squares(r); s < least {
			best, least = r, s
		}
	}
	first := p.points[0].PH
	for _, c := range p.strengths() {
		start := params{molar: c}
		start.excess = (math.Pow(10, first-p.kw) - math.Pow(10, -first)) * p.sample / 1e3
		if m == 0 {
			try(start)
			continue
		}
		if m > 1 {
			start = q
			start.shift /= 2
			if c != p.strengths()[0] {
				break
			}
		}
		most := p.last / 1e3 * start.molar / float64(m+1)
		for pk := 2.0; pk <= 12; pk++ {
			s := start
			s.n = append(append([]float64(nil), start.n...), most)
			s.pk = append(append([]float64(nil), start.pk...), pk)
			try(s)
		}
	}
	return p.refine(best, steps)
}

// score is Schwarz's criterion with the spread of the points left open. A meter
// that would have to be far off speaks against a fit: most are calibrated.
func (p *problem) score(q params) float64 {
	n := float64(len(p.points))
	off := q.shift / usualShift
	return n*math.Log(math.Max(p.squares(q)/n, 0.25)) + float64(p.unknowns(len(q.pk)))*math.Log(n) + math.Min(off*off, mostOff)
}

// ends are the volumes at which one site is used up before the next begins,
// as far as the points reach, with their spreads.
func (p *problem) ends(q params, cov matrix) []Value {
	m := len(q.pk)
	order := make([]int, m)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(p.sign*q.pk[a], p.sign*q.pk[b]) })
	var out []Value
	for k := 0; k <= m; k++ {
		grad := make([]float64, cov.n) // of the charge to be given up to here
		q0 := -q.excess
		grad[1] = -1
		for i, site := range order {
			// Upwards the first k sites are titrated; downwards all sites begin
			// charged and the first k are discharged.
			if p.sign > 0 && i < k || p.sign < 0 && i >= k {
				q0 += q.n[site]
				grad[2+site] = 1
			}
		}
		v := q0 / (p.sign * q.molar)
		if !(v*1e3 > 0.02*p.last) || v*1e3 >= 0.99*p.last || !p.steep(q, v) {
			continue
		}
		for i := range grad {
			grad[i] /= p.sign * q.molar
		}
		grad[0] = -v / q.molar
		out = append(out, Value{1e3 * v, 1e3 * math.Sqrt(math.Max(cov.quad(grad), 0))})
	}
	return out
}

// steep reports whether the fitted curve has its steepest place near a
// volume, L: an end that does not show is none.
func (p *problem) steep(q params, v float64) bool {
	ml := v * 1e3
	d := p.last / 100
	here := math.Abs(p.ph(q, ml+d/2) - p.ph(q, ml-d/2))
	before := math.Abs(p.ph(q, ml-2*d) - p.ph(q, ml-3*d))
	after := math.Abs(p.ph(q, ml+3*d) - p.ph(q, ml+2*d))
	return here > 1.15*before && here > 1.15*after
}
