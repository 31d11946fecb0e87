package chem

import "math"

// follower brings a medium step by step to agree with what is in it: D. G.
// Anderson's mixing of depth one, J. ACM 12, 547 (1965). Where that does not
// settle, it goes on with small steps.
type follower struct {
	steps  int
	g, f   [maxLocal]float64 // what the last medium led to, and by how much it moved
	gw     float64
	before float64 // the largest move of ln γ before the last
	size   float64 // and the last
	mol    [maxLocal]float64
	lnG, d [maxLocal]float64
	field  field
}

// settled is a change of ln γ that moves no pH by 3e-9.
const settled = 5e-9

// leastRatio is the factor by which a step is smaller than the one before that
// is counted on at most: by luck it may seem to be less.
const leastRatio = 0.02

// steady is how many steps of Anderson's mixing are tried.

const steady = 25

// next moves the medium towards the one that belongs to fo.mol, and reports
// whether nothing is left to move: the steps shrink by a factor that is seen,
// so that the last one need not be made.
func (fo *follower) next(m *Model, md *Medium) bool {
	g, d := &fo.lnG, &fo.d
	strength, gw := m.around(&fo.field, &fo.mol, g, false)
	md.strength = strength
	dw := gw - md.lnWater
	size, top, below := 0.0, 0.0, 0.0
	for _, k := range m.act.wanted {
		f := g[k] - md.lnG[k]
		d[k] = f
		if f > size {
			size = f
		} else if -f > size {
			size = -f
		}
		x := f - fo.f[k]
		top += f * x
		below += x * x
	}
	fo.before, fo.size = fo.size, size
	fo.steps++
	done := size < settled
	switch {
	case fo.steps > steady:
		for _, k := range m.act.wanted {
			d[k] /= 4
		}
		dw /= 4
	case fo.steps > 1 && below > 0:
		theta := math.Max(-4, math.Min(0.9, top/below))
		for _, k := range m.act.wanted {
			f := d[k]
			d[k] -= theta * (g[k] - fo.g[k])
			fo.f[k], fo.g[k] = f, g[k]
		}
		dw -= theta * (gw - fo.gw)
		done = done || size*max(size/fo.before, leastRatio) < settled
	default:
		for _, k := range m.act.wanted {
			fo.f[k], fo.g[k] = d[k], g[k]
		}
	}
	fo.gw = gw
	m.shift(md, d, dw)
	return done
}
