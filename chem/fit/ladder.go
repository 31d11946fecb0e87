package fit

import "math"

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
	n := float64(len(p.points))
	fine := func(p *problem, q params) float64 { return n * math.Log(math.Max(p.squares(q)/n, finest)) }
	best, at, least := p, q, fine(p, q)-speaksFor
	for _, l := range []ladder{acidic, alkaline} {
		with := *p
		with.salted = l
		to := with.refine(q, steps)
		if s := fine(&with, to); s < least {
			best, at, least = &with, to, s
		}
	}
	return best, at
}
