package chem

import "math"

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
	lnG      [maxLocal]float64
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
	var f field
	var mol [maxLocal]float64
	mol[m.act.na], mol[m.act.cl] = strength, strength
	md.strength, md.lnWater = m.around(&f, &mol, &md.lnG, false)
	m.conditional(&md)
	return md
}

// Gamma is the activity coefficient of an ion or class of data/ions.csv in a
// medium, on the scale of pH; NaN where the model does not hold it.
func (m *Model) Gamma(name string, md *Medium) float64 {
	row, ok := ions().byName[name]
	for k := range m.act.n {
		if ok && m.act.row[k] == row {
			return math.Exp(md.lnG[k])
		}
	}
	return math.NaN()
}

// conditional brings the constants of a medium up to date with its ln γ.
func (m *Model) conditional(md *Medium) {
	md.hg = math.Exp(-md.lnG[m.act.h])
	md.oh = m.kw * math.Exp(md.lnWater-md.lnG[m.act.oh])
	for i := range m.sys {
		r := &m.row[i]
		for j := range r.steps {
			d := r.lnG(j, md) - r.lnG(j+1, md)
			if r.water[j] {
				d += md.lnWater
			}
			md.k[i][j] = r.k[j] * math.Exp(d)
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
func (m *Model) shift(md *Medium, d *[maxLocal]float64, dw float64) {
	for _, k := range m.act.wanted {
		md.lnG[k] += d[k]
	}
	md.lnWater += dw
	md.hg = grow(md.hg, -d[m.act.h])
	md.oh = grow(md.oh, dw-d[m.act.oh])
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
			if x < 1e-3 && x > -1e-3 {
				md.k[i][j] *= 1 + x*(1+x*(1./2+x*(1./6+x*(1./24))))
			} else {
				md.k[i][j] = grow(md.k[i][j], x)
			}
			before = after
		}
	}
	if m.pco2 > 0 {
		md.hco3 = grow(md.hco3, dw-d[m.air.hco3])
		md.co3 = grow(md.co3, dw-d[m.air.co3])
	}
	m.conditionalComplexes(md)
}

// grow is v·e^d, by a series that is good to 1e-13 when d is small.
func grow(v, d float64) float64 {
	if math.Abs(d) < 1e-3 {
		return v * (1 + d*(1+d*(1./2+d*(1./6+d*(1./24)))))
	}
	if math.Abs(d) > 0.1 {
		return v * math.Exp(d)
	}
	return v * (1 + d*(1+d*(1./2+d*(1./6+d*(1./24+d*(1./120+d*(1./720+d*(1./5040))))))))
}

// saltRow are ln γ of the wanted ions, in their order, and ln of the activity of
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
	flat := make([]float64, saltRows*len(m.act.wanted))
	for i := range m.salts {
		x := saltStep * float64(i)
		mol[m.act.na], mol[m.act.cl] = x*x, x*x
		_, w := m.act.coefficients(&f, &mol, &lnG, false)
		row := flat[i*len(m.act.wanted):][:len(m.act.wanted)]
		for p, k := range m.act.wanted {
			row[p] = lnG[k]
		}
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
	for _, k := range m.act.wanted {
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
	t := math.Min(x-float64(i), 1)
	a, b := &m.salts[i], &m.salts[i+1]
	for p, k := range m.act.wanted {
		md.lnG[k] = a.lnG[p] + t*(b.lnG[p]-a.lnG[p])
	}
	md.lnWater = a.lnWater + t*(b.lnWater-a.lnWater)
	m.conditional(md)
}

// oddPower is x to an odd power n.
func oddPower(x float64, n int) float64 {
	if n < 0 {
		x, n = 1/x, -n
	}
	p, x2 := x, x*x
	for ; n > 1; n -= 2 {
		p *= x2
	}
	return p
}

// strongIons are the molalities of the strong ions of a composition: those
// that have a name, and the rest as Na⁺ and Cl⁻. It notes in f which ions there
// may be.
func (m *Model) strongIons(c *Composition, out *[maxLocal]float64, f *field) {
	f.some = copy(f.who[:], m.act.wanted)
	perKg := 1 / c.Water
	q, s := c.Charge, c.Strength
	for slot, n := range c.Ions {
		if n == 0 {
			continue
		}
		k := m.act.strong[slot]
		q -= m.act.z[k] * n
		s -= n
		out[k] = n * perKg
		if k != m.act.na && k != m.act.cl {
			f.who[f.some] = uint8(k)
			f.some++
		}
	}
	f.who[f.some] = uint8(m.act.na)
	f.some++
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
		out[m.act.na] += na * perKg
	}
	if least := 1e-14 * c.Strength; cl > least {
		out[m.act.cl] += cl * perKg
	}
}

// molalities adds the molalities of all forms at an activity h of H⁺.
func (m *Model) molalities(h float64, md *Medium, c *Composition, out *[maxLocal]float64) {
	hInv := 1 / h
	perKg := 1 / c.Water
	out[m.act.h] += md.hg * h
	out[m.act.oh] += md.oh * hInv
	for _, i := range m.simple {
		if n := c.Totals[i] * perKg; n != 0 && !m.row[i].gas {
			m.formsOf(int(i), n, h, md, out)
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

// formsOf adds the molalities of the forms of a system, n mol/kg together.
func (m *Model) formsOf(i int, n, h float64, md *Medium, out *[maxLocal]float64) {
	r, hInv := &m.row[i], 1/h
	var w [maxSteps + 1]float64
	w[0] = 1
	sum := 1.0
	for j := range r.steps {
		w[j+1] = w[j] * md.k[i][j] * hInv
		sum += w[j+1]
	}
	n /= sum
	for j := range r.steps + 1 {
		if k := r.ion[j]; k >= 0 {
			out[k] += n * w[j]
		}
	}
}

// around computes the medium that belongs to molalities: into lnG, with the
// ionic strength and ln of the activity of water.
func (m *Model) around(f *field, mol, lnG *[maxLocal]float64, all bool) (strength, lnWater float64) {
	if m.law == pitzerLaw {
		return m.act.coefficients(f, mol, lnG, all)
	}
	sum := 0.0
	for k := range m.act.n {
		sum += mol[k] * m.act.z[k] * m.act.z[k]
	}
	g := 0.0
	if m.law == daviesLaw {
		g = m.daviesLnG(sum / 2)
	}
	for k := range m.act.n {
		lnG[k] = g * m.act.z[k] * m.act.z[k]
	}
	return sum / 2, 0
}

// along brings a medium that is near to the ionic strength of what is in it now,
// by the law of Debye and Hückel and the rest in proportion: most of the way,
// where a composition changes by a few parts in a hundred.
func (m *Model) along(md *Medium, fo *follower) {
	i := 0.0
	for k := range m.act.n {
		i += fo.mol[k] * m.act.z[k] * m.act.z[k]
	}
	i /= 2
	ratio := i/md.strength - 1
	if !(math.Abs(ratio) < 0.2) || i > strengthLimit {
		return
	}
	before := m.guggenheim(md.strength)
	change := m.guggenheim(i) - before
	for _, k := range m.act.wanted {
		z2 := m.act.z[k] * m.act.z[k]
		fo.d[k] = z2*change + (md.lnG[k]-z2*before)*ratio
	}
	m.shift(md, &fo.d, md.lnWater*ratio)
}

// guggenheim is ln γ of an ion of one charge by the convention for chloride.
func (m *Model) guggenheim(strength float64) float64 {
	root := math.Sqrt(strength)
	return -3 * m.act.aPhi * root / (1 + 1.5*root)
}

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
