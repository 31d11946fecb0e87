package chem

import "math"

// follower brings a medium step by step to agree with what is in it: D. G.
// Anderson's mixing of depth one, J. ACM 12, 547 (1965). Where that does not
// settle, it goes on with small steps.
type follower struct {
	steps  int
	g, f   [maxLocal]float64 // what the last medium led to, and by how much it moved
	gw, gi float64           // and ln of the activity of water and the ionic strength there
	size   float64           // the largest move of ln γ that the last asked for
	back   float64           // the share of a move that may come back
	off    float64           // by how much ln γ was off at the last, since the pH was
	mol    [maxLocal]float64
	lnG, d [maxLocal]float64
	field  field
}

// settled is a change of ln γ that moves no pH by 3e-9.
const settled = 5e-9

// The share of a move of ln γ that comes back at the next step is taken for
// wary times that of the first move, and for leastBack at least.
const (
	wary      = 3
	leastBack = 0.05
)

// steady is how many steps of Anderson's mixing are tried.
const steady = 25

// next moves the medium towards the one that belongs to fo.mol, and reports
// whether nothing is left to move. Of fo.mol it is told the last step of
// ln a(H⁺) that led there.
//
// What is left after a step of Anderson's mixing is what comes back of the part
// that the secant does not explain, the bend of the law, of the order of the
// move squared, and what both points were off.
func (fo *follower) next(m *Model, md *Medium, step float64) bool {
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
	off := step * step / 4
	before := fo.off
	if fo.steps++; fo.steps == 2 {
		fo.back = max(leastBack, min(1, wary*size/fo.size))
	}
	fo.size, fo.off = size, off
	done := size+off < settled
	switch {
	case fo.steps > steady:
		for _, k := range m.act.wanted {
			d[k] /= 4
		}
		dw /= 4
	case fo.steps > 1 && below > 0:
		theta := max(-4, min(0.9, top/below))
		rest := 0.0
		for _, k := range m.act.wanted {
			f := d[k]
			x := theta * (f - fo.f[k])
			if r := math.Abs(f - x); r > rest {
				rest = r
			}
			d[k] -= theta * (g[k] - fo.g[k])
			fo.f[k], fo.g[k] = f, g[k]
		}
		dw -= theta * (gw - fo.gw)
		md.strength -= theta * (strength - fo.gi)
		done = done || fo.back*rest+size*size+math.Abs(theta)*before+off < settled
	default:
		for _, k := range m.act.wanted {
			fo.f[k], fo.g[k] = d[k], g[k]
		}
	}
	fo.gw, fo.gi = gw, strength
	m.shift(md, d, dw)
	return done
}
