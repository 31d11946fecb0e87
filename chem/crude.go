package chem

import "math"

// saltRow are ln γ of the wanted ions and ln of the activity of
// water in sodium chloride.
type saltRow struct {
	lnG     []float64
	lnWater float64
}

// saltStep is the distance of two rows, in the root of the ionic strength; the
// last row is beyond strengthLimit.
const (
	saltStep = 0.125
	saltRows = 21
)

// inSalt computes the media of sodium chloride that a solver starts from.
func (m *Model) inSalt() {
	if m.law != pitzerLaw {
		return
	}
	var f field
	var mol, lnG [maxLocal]float64
	m.salts = make([]saltRow, saltRows)
	flat := make([]float64, saltRows*m.act.wanted)
	for i := range m.salts {
		x := saltStep * float64(i)
		mol[m.act.na], mol[m.act.cl] = x*x, x*x
		_, w := m.act.coefficients(&f, &mol, &lnG, false)
		row := flat[i*m.act.wanted:][:m.act.wanted]
		copy(row, lnG[:])
		m.salts[i] = saltRow{row, w}
	}
}

// crude is a medium to start from, at an ionic strength in mol/kg: that of
// sodium chloride, or of Davies' law.
func (m *Model) crude(strength float64, md *Medium) {
	md.strength, md.lnWater, md.made = strength, 0, true
	if m.law == pitzerLaw {
		m.crudeSalt(strength, md)
		return
	}
	ln := 0.0
	if m.law != idealLaw {
		ln = m.daviesLnG(strength)
	}
	for k := range m.act.wanted {
		md.lnG[k] = ln * m.act.z[k] * m.act.z[k]
	}
	g := math.Exp(ln)
	md.hg, md.oh = 1/g, m.kw/g
	g2 := g * g
	for i := range m.sys {
		// The step from charge z to z−1 has the factor γ^(z²−(z−1)²) = γ^(2z−1),
		// one γ² less at each step; neutral forms have none.
		r := &m.row[i]
		f := oddPower(g, 2*r.z0-1)
		for j := range r.steps {
			md.k[i][j] = r.k[j] * f
			f /= g2
		}
	}
	md.hco3, md.co3 = m.air.a1/g, m.air.a2/(g2*g2)
	m.conditionalComplexes(md)
}

// crudeSalt takes it from the rows, on straight lines in the root of the strength.
func (m *Model) crudeSalt(strength float64, md *Medium) {
	if !(strength > 0) {
		strength = 0
	}
	x := math.Sqrt(min(strength, strengthLimit)) / saltStep
	i := min(int(x), saltRows-2)
	t := min(x-float64(i), 1)
	a, b := &m.salts[i], &m.salts[i+1]
	for k, x := range a.lnG {
		md.lnG[k] = x + t*(b.lnG[k]-x)
	}
	md.lnWater = a.lnWater + t*(b.lnWater-a.lnWater)
	m.conditional(md)
}
