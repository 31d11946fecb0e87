package fit

import (
	"cmp"
	"math"
	"slices"
)

// Sites closer than this, pK, are told as one where only their sum is known: a
// second constant there is mostly what the ionic strength does to the first.
const close = 1.0

// sites are the acids of a fit by their constants, those that cannot be told
// apart as one.
func (p *problem) sites(q params, cov matrix) []Site {
	order := make([]int, len(q.pk))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(q.pk[a], q.pk[b]) })
	out := []Site{}
	for i := 0; i < len(order); i++ {
		one := p.site(q, cov, order[i:i+1])
		if i+1 < len(order) && q.pk[order[i+1]]-q.pk[order[i]] < close {
			both := p.site(q, cov, order[i:i+2])
			if two := p.site(q, cov, order[i+1:i+2]); both.ML.SD < 0.5*math.Min(one.ML.SD, two.ML.SD) {
				one = both
				i++
			}
		}
		out = append(out, one)
	}
	return out
}

// site is one acid made of some sites of the fit: their amounts together, and the
// mean of their constants.
func (p *problem) site(q params, cov matrix, of []int) Site {
	m := len(q.pk)
	total, pk, salt := 0.0, 0.0, 0.0
	for _, k := range of {
		total += q.n[k]
	}
	amount, constant, volume := make([]float64, cov.n), make([]float64, cov.n), make([]float64, cov.n)
	for _, k := range of {
		share := 1 / float64(len(of))
		if total > 0 {
			share = q.n[k] / total
		}
		pk += share * q.pk[k]
		salt += share * p.apparent(q, k)
		amount[2+k], constant[2+m+k], volume[2+k] = 1, share, 1/q.molar
	}
	if total > 0 {
		for _, k := range of {
			constant[2+k] = (q.pk[k] - pk) / total
		}
	}
	volume[0] = -total / (q.molar * q.molar) // a ratio: a strength that nobody said goes out
	sd := func(g []float64) float64 { return math.Sqrt(math.Max(cov.quad(g), 0)) }
	return Site{PK: Value{pk + salt, sd(constant)}, MMol: Value{1e3 * total, 1e3 * sd(amount)},
		ML: Value{1e3 * total / q.molar, 1e3 * sd(volume)}}
}

// Figures of judgement, a choice of this project.
const (
	mostPoints = 400 // about, that a curve is fitted to: of a log that runs on, neighbours say the same
	thinStep   = 0.2 // pH, between the ends of what is put together at most
)

// thin puts neighbouring points together, to their means, until there are about mostPoints; where the
// curve is steep fewer or none, so that its course stays what it was.
func thin(points []Point) []Point {
	share := len(points) / mostPoints
	if share < 2 {
		return points
	}
	var out []Point
	for i := 0; i < len(points); {
		n, ml, ph := 0, 0.0, 0.0
		for k := i; k < len(points) && n < share && math.Abs(points[k].PH-points[i].PH) <= thinStep; k++ {
			ml, ph = ml+points[k].ML, ph+points[k].PH
			n++
		}
		out = append(out, Point{ML: ml / float64(n), PH: ph / float64(n)})
		i += n
	}
	return out
}

// Figures of judgement, a choice of this project.
const (
	finest    = 0.0225 // of the mean square of what is left, in spreads of a reading: 0.003 pH
	speaksFor = 10.0   // by which a ladder has to be better, as Schwarz's criterion counts
)

// climb is the problem with the ladder of constants that the points speak for, and its best
// parameters; the problem itself where they speak for none. Along a curve the ionic strength
// grows, and the constants of an acid of several protons fall: taken for constant, they
// make its first equivalence point come early and its second late, by half and by a quarter of a per
// cent for phosphoric acid.
func (p *problem) climb(q params) (*problem, params) {
	if len(q.pk) == 0 {
		return p, q
	}
	was := p.fine(q)
	best, at, least := p, q, math.Inf(1)
	for _, l := range []ladder{acidic, alkaline} {
		with := *p
		with.salted = l
		to := with.refine(q, steps)
		if s := with.fine(to); spoken(was, s) && s < least {
			best, at, least = &with, to, s
		}
	}
	return best, at
}

// fine is the score of a fit of which the constants are as many as those of the others.
func (p *problem) fine(q params) float64 {
	n := float64(len(p.points))
	return n * math.Log(math.Max(p.squares(q)/n, finest))
}

// spoken reports whether the points speak for a ladder: by its score and that without.
func spoken(without, with float64) bool { return with < without-speaksFor }
