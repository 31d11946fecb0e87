package chem

import (
	"math"

	"example.org/halfdrop/chem/pitzer"
)

// follower brings a medium step by step to agree with what is in it: D. G.
// Anderson's mixing of depth one, J. ACM 12, 547 (1965). Where that does not
// settle, it goes on with small steps.
type follower struct {
	steps  int
	g, f   [pitzer.MaxLocal]float64 // what the last medium led to, and by how much it moved
	gw, gi float64                  // and ln of the activity of water and the ionic strength there
	size   float64                  // the largest move of ln γ that the last asked for
	back   float64                  // the share of a move that may come back
	off    float64                  // by how much ln γ was off at the last, since the pH was
	mol    [pitzer.MaxLocal]float64
	lnG, d [pitzer.MaxLocal]float64
	field  pitzer.Field
}

// settled is a bound of what may be left of a change of ln γ: no pH is off by 2e-8, and
// of buffers up to 0.5 mol/kg none by 2e-9.
const settled = 5e-8

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
	strength, gw := m.around(&fo.field, &fo.mol, &fo.lnG, false)
	md.strength = strength
	dw := gw - md.lnWater
	g := fo.lnG[:m.act.Wanted]
	d, at, lastF, lastG := fo.d[:len(g)], md.lnG[:len(g)], fo.f[:len(g)], fo.g[:len(g)]
	var most uint64 // sizes by their bits: in the same order, and without a branch
	top, below := 0.0, 0.0
	for k, x := range g {
		f := x - at[k]
		d[k] = f
		most = max(most, sizeBits(f))
		x = f - lastF[k]
		top += f * x
		below += x * x
	}
	size := math.Float64frombits(most)
	off := step * step / 4
	before := fo.off
	if fo.steps++; fo.steps == 2 {
		fo.back = max(leastBack, min(1, wary*size/fo.size))
	}
	fo.size, fo.off = size, off
	done := size+off < settled
	switch {
	case fo.steps > steady:
		for k := range d {
			d[k] /= 4
		}
		dw /= 4
	case fo.steps > 1 && below > 0:
		theta := max(-4, min(0.9, top/below))
		most = 0
		for k, f := range d {
			most = max(most, sizeBits(f-theta*(f-lastF[k])))
			d[k] = f - theta*(g[k]-lastG[k])
			lastF[k], lastG[k] = f, g[k]
		}
		rest := math.Float64frombits(most)
		dw -= theta * (gw - fo.gw)
		md.strength -= theta * (strength - fo.gi)
		done = done || fo.back*rest+size*size+math.Abs(theta)*before+off < settled
	default:
		copy(lastF, d)
		copy(lastG, g)
	}
	fo.gw, fo.gi = gw, strength
	m.shift(md, &fo.d, dw)
	return done
}

// sizeBits are the bits of |x|: greater for a greater number, and greatest for NaN.
func sizeBits(x float64) uint64 { return math.Float64bits(x) &^ (1 << 63) }
