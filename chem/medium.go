package chem

import (
	"math"

	"example.org/halfdrop/chem/pitzer"
)

// Medium is what surrounds the ions of a composition: their activity
// coefficients, the activity of water and the ionic strength. While it is held,
// charge is linear in every amount (ChargeIn). It belongs to the Model that
// made it; the zero value is no medium yet.
type Medium struct {
	strength float64
	lnWater  float64                       // ln of the activity of water
	hg       float64                       // m(H⁺)/a(H⁺)
	oh       float64                       // m(OH⁻) a(H⁺)
	hco3     float64                       // m(HCO₃⁻) a(H⁺) that the air keeps up
	co3      float64                       // m(CO₃²⁻) a(H⁺)²
	k        [MaxSystems][maxSteps]float64 // K γ(acid)/γ(base), with the water it takes up
	lnG      [pitzer.MaxLocal]float64
	cx       [maxComplexes]float64 // ln of the constants of complexes, with the coefficients of what they are made of
	free     [MaxSystems]float64   // ln of the free molality of what takes part in complexes
	made     bool
}

// Strength is the ionic strength in mol/kg.
func (md *Medium) Strength() float64 { return md.strength }

// Made reports whether there is a medium.
func (md *Medium) Made() bool { return md.made }

// WaterActivity is the activity of water.
func (md *Medium) WaterActivity() float64 { return math.Exp(md.lnWater) }

// Salt is the medium of sodium chloride of an ionic strength in mol/kg, for
// what is said of a substance without a mixture around it.
func (m *Model) Salt(strength float64) Medium {
	var md Medium
	var f pitzer.Field
	var mol [pitzer.MaxLocal]float64
	mol[m.act.Na], mol[m.act.Cl] = strength, strength
	md.strength, md.lnWater = m.around(&f, &mol, &md.lnG, false)
	m.conditional(&md)
	return md
}

// Gamma is the activity coefficient of an ion or class of pitzer/data/ions.csv in a
// medium, on the scale of pH; NaN where the model does not hold it.
func (m *Model) Gamma(name string, md *Medium) float64 {
	row, ok := pitzer.Ions().ByName[name]
	for k := range m.act.N {
		if ok && m.act.Row[k] == row {
			return math.Exp(md.lnG[k])
		}
	}
	return math.NaN()
}

// conditional brings the constants of a medium up to date with its ln γ.
func (m *Model) conditional(md *Medium) {
	md.hg = grow(1, -md.lnG[m.act.H])
	md.oh = grow(m.kw, md.lnWater-md.lnG[m.act.OH])
	for i := range m.sys {
		r := &m.row[i]
		for j := range r.steps {
			d := r.lnG(j, md) - r.lnG(j+1, md)
			if r.water[j] {
				d += md.lnWater
			}
			md.k[i][j] = grow(r.k[j], d)
		}
	}
	if m.pco2 > 0 {
		md.hco3 = m.air.a1 * math.Exp(md.lnWater-md.lnG[m.air.hco3])
		md.co3 = m.air.a2 * math.Exp(md.lnWater-md.lnG[m.air.co3])
	}
	m.conditionalComplexes(md)
	md.made = true
}

// conditionalComplexes brings the constants of complexes up to date with ln γ.
func (m *Model) conditionalComplexes(md *Medium) {
	for k := range m.cx {
		x := &m.cx[k]
		l := &m.row[x.ligand]
		v := x.lnB + x.nL*l.lnG(l.steps, md) - x.water*md.lnWater
		if x.metal >= 0 {
			v += x.nM * m.row[x.metal].lnG(0, md)
		}
		if x.ion >= 0 {
			v -= md.lnG[x.ion]
		}
		md.cx[k] = v
	}
}

func (r *modelRow) lnG(j int, md *Medium) float64 {
	if r.ion[j] < 0 {
		return 0
	}
	return md.lnG[r.ion[j]]
}

// shift is conditional for a small change of ln γ and of ln of the activity of
// water, which it applies.
func (m *Model) shift(md *Medium, d *[pitzer.MaxLocal]float64, dw float64) {
	lnG := md.lnG[:m.act.Wanted]
	for k, x := range d[:len(lnG)] {
		lnG[k] += x
	}
	md.lnWater += dw
	md.hg = grow(md.hg, -d[m.act.H])
	md.oh = grow(md.oh, dw-d[m.act.OH])
	for i := range m.sys {
		r := &m.row[i]
		before := 0.0
		if r.ion[0] >= 0 {
			before = d[r.ion[0]]
		}
		for j := range r.steps {
			after := 0.0
			if r.ion[j+1] >= 0 {
				after = d[r.ion[j+1]]
			}
			x := before - after
			if r.water[j] {
				x += dw
			}
			md.k[i][j] = grow(md.k[i][j], x)
			before = after
		}
	}
	if m.pco2 > 0 {
		md.hco3 = grow(md.hco3, dw-d[m.air.hco3])
		md.co3 = grow(md.co3, dw-d[m.air.co3])
	}
	m.conditionalComplexes(md)
}

// grow is v·e^d, by a series that is good to 1e-11 where d is no larger than
// a step of coefficients is.
func grow(v, d float64) float64 {
	if d > 0.8 || d < -0.8 {
		return v * math.Exp(d)
	}
	if d2 := d * d; d2 < 1e-4 { // as nearly all are
		return v * (1 + d + d2*((1./2+d*(1./6))+d2*(1./24+d*(1./120))))
	}
	d *= 1. / 8
	d2 := d * d
	e := (1 + d) + d2*((1./2+d*(1./6))+d2*((1./24+d*(1./120))+d2*(1./720+d*(1./5040))))
	e *= e
	e *= e
	return v * (e * e)
}

// strongIons are the molalities of the strong ions of a composition: those
// that have a name, and the rest as Na⁺ and Cl⁻. It notes in f which ions there
// may be.
func (m *Model) strongIons(c *Composition, out *[pitzer.MaxLocal]float64, f *pitzer.Field) {
	f.Some = copy(f.Who[:], m.act.Everyone[:m.act.Wanted])
	perKg := 1 / c.Water
	q, s := c.Charge, c.Strength
	for slot, n := range c.Ions {
		if n == 0 {
			continue
		}
		k := m.act.Strong[slot]
		q -= m.act.Z[k] * n
		s -= n
		out[k] = n * perKg
		if k >= m.act.Wanted && k != m.act.Na {
			f.Who[f.Some] = uint8(k)
			f.Some++
		}
	}
	if m.act.Na >= m.act.Wanted {
		f.Who[f.Some] = uint8(m.act.Na)
		f.Some++
	}
	if s -= math.Abs(q); s < 1e-14*c.Strength {
		s = 0 // what rounding leaves of an amount is no ion
	}
	na, cl := s/2, s/2
	if q > 0 {
		na += q
	} else {
		cl -= q
	}
	if least := 1e-14 * c.Strength; na > least {
		out[m.act.Na] += na * perKg
	}
	if least := 1e-14 * c.Strength; cl > least {
		out[m.act.Cl] += cl * perKg
	}
}

// molalities adds the molalities of all forms at an activity h of H⁺.
func (m *Model) molalities(h float64, md *Medium, c *Composition, out *[pitzer.MaxLocal]float64) {
	hInv := 1 / h
	perKg := 1 / c.Water
	out[m.act.H] += md.hg * h
	out[m.act.OH] += md.oh * hInv
	for _, i := range m.simple {
		if n := c.Totals[i] * perKg; n != 0 && !m.row[i].gas {
			m.formsOf(int(i), n, hInv, md, out)
		}
	}
	if len(m.cx) > 0 {
		m.boundMolalities(h, md, c, out)
	}
	if m.pco2 > 0 {
		out[m.air.hco3] += md.hco3 * hInv
		out[m.air.co3] += md.co3 * hInv * hInv
	}
}

// formsOf adds the molalities of the forms of a system, n mol/kg together, at an
// activity 1/hInv of H⁺.
func (m *Model) formsOf(i int, n, hInv float64, md *Medium, out *[pitzer.MaxLocal]float64) {
	r := &m.row[i]
	var w [maxSteps + 1]float64
	w[0] = 1
	sum := 1.0
	v := 1.0
	for j, kj := range md.k[i][:r.steps] {
		v *= kj * hInv
		w[j+1] = v
		sum += v
	}
	n /= sum
	for j, k := range r.ion[:r.steps+1] {
		if k >= 0 {
			out[k] += n * w[j]
		}
	}
}

// around computes the medium that belongs to molalities: into lnG, with the
// ionic strength and ln of the activity of water.
func (m *Model) around(f *pitzer.Field, mol, lnG *[pitzer.MaxLocal]float64, all bool) (strength, lnWater float64) {
	if m.law == PitzerLaw {
		return m.act.Coefficients(f, mol, lnG, all)
	}
	sum := 0.0
	for k := range m.act.N {
		sum += mol[k] * m.act.Z[k] * m.act.Z[k]
	}
	g := 0.0
	if m.law == DaviesLaw {
		g = m.daviesLnG(sum / 2)
	}
	for k := range m.act.N {
		lnG[k] = g * m.act.Z[k] * m.act.Z[k]
	}
	return sum / 2, 0
}
