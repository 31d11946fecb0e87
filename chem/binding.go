package chem

import (
	"math"

	"example.org/halfdrop/chem/linalg"
	"example.org/halfdrop/chem/pitzer"
)

// bare is ln of the share of the form that binds, at an activity of H⁺: the
// least protonated of a ligand, the most protonated of a metal ion. It also
// gives the mean charge of all free forms, its variance, and the charge of the
// form that binds.
type bare struct{ ln, mean, variance, z float64 }

func (m *Model) bareOf(i int, h float64, md *Medium, metal bool) bare {
	r := &m.row[i]
	z := float64(r.z0)
	w, sum, sz, szz := 1.0, 1.0, z, z*z
	for j := range r.steps {
		w *= md.k[i][j] / h
		z--
		sum += w
		sz += w * z
		szz += w * z * z
	}
	b := bare{mean: sz / sum}
	b.variance = math.Max(0, szz/sum-b.mean*b.mean)
	if metal {
		b.ln, b.z = -math.Log(sum), float64(r.z0)
	} else {
		b.ln, b.z = math.Log(w/sum), z
	}
	return b
}

// binding is the state of all complexes at one activity of H⁺.
type binding struct {
	lnK   [maxComplexes]float64 // conditional on the totals of free forms
	c     [maxComplexes]float64 // mol/kg
	y     [MaxSystems]float64   // ln of the free molality, all forms together
	total [MaxSystems]float64   // mol/kg
	bare  [MaxSystems]bare
	list  [MaxSystems]uint8 // partners of which there is some
	n     int
	hess  [MaxSystems][MaxSystems]float64
	grad  [MaxSystems]float64
}

// prepare takes what does not depend on how much is bound. A system is either
// a metal or a ligand, but may be a ligand of itself.
func (b *binding) prepare(m *Model, h float64, md *Medium, c *Composition) {
	b.n = 0
	for i := range b.y {
		b.y[i] = nothing
	}
	lnH := math.Log(h)
	for _, i := range m.partners {
		b.total[i] = c.Totals[i] / c.Water
		if b.total[i] > 0 && !m.row[i].gas {
			b.list[b.n] = i
			b.n++
		}
		b.bare[i] = m.bareOf(int(i), h, md, m.metals&(1<<i) != 0)
	}
	for s := range m.cx {
		x := &m.cx[s]
		b.lnK[s] = md.cx[s] + x.protons*lnH + x.nL*b.bare[x.ligand].ln
		if x.metal >= 0 {
			b.lnK[s] += x.nM * b.bare[x.metal].ln
		}
	}
}

// sums fills in the complexes for the free molalities, and the value, the
// gradient and the Hessian of the function whose minimum is the balance of
// mass: Σ X + Σ c − Σ T ln X, which is convex in ln X.
func (b *binding) sums(m *Model, slopes bool) (value float64) {
	for _, i := range b.list[:b.n] {
		x := math.Exp(b.y[i])
		value += x - b.total[i]*b.y[i]
		if slopes {
			b.grad[i] = x - b.total[i]
			for _, j := range b.list[:b.n] {
				b.hess[i][j] = 0
			}
			b.hess[i][i] = x
		}
	}
	for s := range m.cx {
		x := &m.cx[s]
		b.c[s] = 0
		if b.total[x.ligand] <= 0 || x.metal >= 0 && b.total[x.metal] <= 0 {
			continue
		}
		ln := b.lnK[s] + x.nL*b.y[x.ligand]
		if x.metal >= 0 {
			ln += x.nM * b.y[x.metal]
		}
		c := math.Exp(ln)
		b.c[s] = c
		value += c
		if !slopes {
			continue
		}
		b.grad[x.ligand] += x.nL * c
		b.hess[x.ligand][x.ligand] += x.nL * x.nL * c
		if x.metal >= 0 {
			b.grad[x.metal] += x.nM * c
			b.hess[x.metal][x.metal] += x.nM * x.nM * c
			b.hess[x.ligand][x.metal] += x.nL * x.nM * c
			b.hess[x.metal][x.ligand] += x.nL * x.nM * c
		}
	}
	return value
}

// longestStep is the bound on a step of ln of a free molality.
const longestStep = 3.0

// solve finds the free molalities by Newton's method on that function, from y
// where it is given, else from all being free. A step is cut until the
// function falls, so that it cannot miss; it reports false when it has not
// settled all the same.
func (b *binding) solve(m *Model, near *[MaxSystems]float64) bool {
	for _, i := range b.list[:b.n] {
		b.y[i] = near[i]
		if most := math.Log(b.total[i]); !(b.y[i] <= most && b.y[i] > nothing) {
			b.y[i] = most
		}
	}
	value := b.sums(m, true)
	for range 200 {
		off := 0.0
		for _, i := range b.list[:b.n] {
			off = math.Max(off, math.Abs(b.grad[i])/b.total[i])
		}
		if off < 1e-11 {
			return true
		}
		step, ok := b.newton(b.grad)
		if !ok {
			return false
		}
		largest, slope := 0.0, 0.0
		for _, i := range b.list[:b.n] {
			largest = math.Max(largest, math.Abs(step[i]))
			slope -= step[i] * b.grad[i]
		}
		k := math.Min(1, longestStep/largest)
		from := b.y
		for range 60 {
			for _, i := range b.list[:b.n] {
				b.y[i] = from[i] - k*step[i]
			}
			next := b.sums(m, true)
			// Near the end the function is flat to the last digit.
			if next <= value+1e-4*k*slope || math.Abs(next-value) <= 1e-14*math.Abs(value) {
				value = next
				break
			}
			k /= 2
		}
	}
	return false
}

// newton solves the Hessian for a right side, by Cholesky's method.
func (b *binding) newton(right [MaxSystems]float64) (x [MaxSystems]float64, ok bool) {
	var l [MaxSystems * MaxSystems]float64
	var y [MaxSystems]float64
	n := b.n
	for p, i := range b.list[:n] {
		for q, j := range b.list[:p+1] {
			l[p*n+q] = b.hess[i][j]
		}
		y[p] = right[i]
	}
	if !linalg.Cholesky(l[:], n) {
		return x, false
	}
	linalg.Forward(l[:], n, y[:])
	linalg.Backward(l[:], n, y[:])
	for p, i := range b.list[:n] {
		x[i] = y[p]
	}
	return x, true
}

// bound adds the complexes and the free forms of all partners to the moments,
// at their totals.
func (b *binding) bound(m *Model, s *moments, kg float64) {
	// How the bound amounts follow ln a(H⁺): the free ones move so that the
	// totals stay.
	var right [MaxSystems]float64
	for k := range m.cx {
		x := &m.cx[k]
		n := x.follows(b) * b.c[k]
		right[x.ligand] += x.nL * n
		if x.metal >= 0 {
			right[x.metal] += x.nM * n
		}
	}
	move, _ := b.newton(right)
	for _, i := range b.list[:b.n] {
		x := kg * math.Exp(b.y[i])
		q, d := x*b.bare[i].mean, x*(b.bare[i].variance-b.bare[i].mean*move[i])
		s.add(q, d)
	}
	for k := range m.cx {
		x := &m.cx[k]
		if b.c[k] == 0 {
			continue
		}
		d := x.follows(b) - x.nL*move[x.ligand]
		if x.metal >= 0 {
			d -= x.nM * move[x.metal]
		}
		s.add(kg*b.c[k]*x.z, kg*b.c[k]*x.z*d)
	}
}

// follows is d ln c / d ln a(H⁺) of a complex while the free totals stay.
func (x *complexRow) follows(b *binding) float64 {
	l := &b.bare[x.ligand]
	n := x.protons + x.nL*(l.z-l.mean)
	if x.metal >= 0 {
		t := &b.bare[x.metal]
		n += x.nM * (t.z - t.mean)
	}
	return n
}

// add counts a charge with its slope on its side.
func (s *moments) add(q, d float64) {
	if q > 0 {
		s.pos += q
		s.posH += d
	} else {
		s.neg -= q
		s.negH -= d
	}
}

// withComplexes adds all partners of complexes to the moments, and keeps their
// free molalities in the medium.
func (m *Model) withComplexes(h float64, md *Medium, c *Composition, s *moments) {
	var b binding
	b.prepare(m, h, md, c)
	if !b.solve(m, &md.free) {
		s.pos, s.neg = math.NaN(), math.NaN() // the pH is not found then, and an error says so
		return
	}
	md.free = b.y
	b.bound(m, s, c.Water)
}

// heldComplexes adds the partners of complexes to the charge while the free
// molalities of all others are held: linear in every total.
func (m *Model) heldComplexes(h float64, md *Medium, c *Composition) (charge float64) {
	var b binding
	b.prepare(m, h, md, c)
	// What is held may be there though this part of the mixture has none of it.
	var bound, extra [MaxSystems]float64 // per free amount
	for k := range m.cx {
		x := &m.cx[k]
		ln := b.lnK[k] + x.nL*md.free[x.ligand]
		if x.metal >= 0 {
			ln += x.nM * md.free[x.metal]
		}
		perL := math.Exp(ln - md.free[x.ligand])
		bound[x.ligand] += x.nL * perL
		extra[x.ligand] += x.own * perL
		if x.metal >= 0 {
			perM := math.Exp(ln - md.free[x.metal])
			bound[x.metal] += x.nM * perM
			extra[x.metal] += (x.z - x.own) * perM
		}
	}
	for _, i := range m.partners {
		charge += c.Totals[i] * (b.bare[i].mean + extra[i]) / (1 + bound[i])
	}
	return charge
}

// boundMolalities adds the complexes and the free forms of their partners.
func (m *Model) boundMolalities(h float64, md *Medium, c *Composition, out *[pitzer.MaxLocal]float64) {
	var b binding
	b.prepare(m, h, md, c)
	if !b.solve(m, &md.free) {
		return
	}
	md.free = b.y
	for _, i := range b.list[:b.n] {
		m.formsOf(int(i), math.Exp(b.y[i]), 1/h, md, out)
	}
	for k := range m.cx {
		if x := &m.cx[k]; x.ion >= 0 {
			out[x.ion] += b.c[k]
		}
	}
}

// nothing is ln of the free molality of what is not there.
const nothing = -200
