package chem

import (
	"math"

	"example.org/halfdrop/chem/pitzer"
)

// saltRow is a medium of sodium chloride: ln γ of the wanted ions, ln of the
// activity of water, and the constants in it, those of steps one system after
// another.
type saltRow struct {
	lnG       []float64
	lnWater   float64
	hg, oh    float64
	hco3, co3 float64
	k         []float64
}

// saltStep is the distance of two rows, in the root of the ionic strength; the
// last row is beyond strengthLimit.
const (
	saltStep = 0.125
	saltRows = 21
)

// inSalt computes the media of sodium chloride that a solver starts from.
func (m *Model) inSalt() {
	if m.law != PitzerLaw {
		return
	}
	var f pitzer.Field
	var mol [pitzer.MaxLocal]float64
	m.salts = make([]saltRow, saltRows)
	var md Medium
	steps := 0
	for i := range m.sys {
		steps += m.row[i].steps
	}
	width := m.act.Wanted + steps
	flat := make([]float64, saltRows*width)
	for i := range m.salts {
		x := saltStep * float64(i)
		mol[m.act.Na], mol[m.act.Cl] = x*x, x*x
		_, md.lnWater = m.act.Coefficients(&f, &mol, &md.lnG, false)
		m.conditional(&md)
		row := flat[i*width:][:width]
		k := row[m.act.Wanted:][:0]
		for i := range m.sys {
			k = append(k, md.k[i][:m.row[i].steps]...)
		}
		copy(row[:m.act.Wanted], md.lnG[:])
		m.salts[i] = saltRow{row[:m.act.Wanted], md.lnWater, md.hg, md.oh, md.hco3, md.co3, k}
	}
}

// crude is a medium to start from, at an ionic strength in mol/kg: that of
// sodium chloride, or of Davies' law.
func (m *Model) crude(strength float64, md *Medium) {
	md.strength, md.lnWater, md.made = strength, 0, true
	if m.law == PitzerLaw {
		m.crudeSalt(strength, md)
		return
	}
	ln := 0.0
	if m.law != NoLaw {
		ln = m.daviesLnG(strength)
	}
	for k := range m.act.Wanted {
		md.lnG[k] = ln * m.act.Z[k] * m.act.Z[k]
	}
	g := math.Exp(ln)
	md.hg, md.oh = 1/g, m.kw/g
	g2 := g * g
	for i := range m.sys {
		// The step from charge z to z−1 has the factor γ^(z²−(z−1)²) = γ^(2z−1),
		// one γ² less at each step; neutral forms have none.
		r := &m.row[i]
		f := math.Pow(g, float64(2*r.z0-1))
		for j := range r.steps {
			md.k[i][j] = r.k[j] * f
			f /= g2
		}
	}
	md.hco3, md.co3 = m.air.a1/g, m.air.a2/(g2*g2)
	m.conditionalComplexes(md)
}

// crudeSalt takes it from the nearer row, and goes from there on a straight line
// in the root of the strength.
func (m *Model) crudeSalt(strength float64, md *Medium) {
	if !(strength > 0) {
		strength = 0
	}
	x := math.Sqrt(min(strength, pitzer.StrengthLimit)) / saltStep
	i := min(int(x), saltRows-2)
	t := min(x-float64(i), 1)
	a, b := &m.salts[i], &m.salts[i+1]
	if t > 0.5 {
		a, b, t = b, a, 1-t
	}
	md.lnWater, md.hg, md.oh, md.hco3, md.co3 = a.lnWater, a.hg, a.oh, a.hco3, a.co3
	copy(md.lnG[:], a.lnG)
	k := a.k
	for i := range m.sys {
		n := m.row[i].steps
		copy(md.k[i][:n], k)
		k = k[n:]
	}
	var d [pitzer.MaxLocal]float64
	for k, x := range a.lnG {
		d[k] = t * (b.lnG[k] - x)
	}
	m.shift(md, &d, t*(b.lnWater-a.lnWater))
}
