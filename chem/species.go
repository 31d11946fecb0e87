package chem

// moments is what one pass over all species gives, in mol. The second index
// of the derivatives is h for d/d ln a(H⁺) and g for d/d ln G (activity.go).
type moments struct {
	pos, neg, square    float64 // Σ zn of cations, Σ |z|n of anions, Σ z²n; spectators included
	posH, negH, squareH float64
	posG, negG, squareG float64
}

// charge is the net charge in mol.
func (s *moments) charge() float64 { return s.pos - s.neg }

// chargeH is d charge / d ln a(H⁺); never negative.
func (s *moments) chargeH() float64 { return s.posH - s.negH }

// at sums over all species at an activity h of H⁺ and a given G.
//
// The amount of a form with charge z is proportional to K·h^z·G^(z²), so the
// derivatives of every mean over the forms are covariances: with z for ln h
// and with z² for ln G. Spectators enter with their net charge, on one side
// only, which keeps digits near neutrality.
func (m *Model) at(h, g float64, c *Composition) (s moments) {
	hInv, gInv := 1/h, 1/g
	hp, oh := c.Water*h*g, c.Water*m.kw*hInv*g
	s.pos, s.neg, s.square = hp, oh, c.Strength+hp+oh
	s.posH, s.negH, s.squareH = hp, -oh, hp-oh
	s.posG, s.negG, s.squareG = hp, oh, hp+oh
	if c.Charge > 0 {
		s.pos += c.Charge
	} else {
		s.neg -= c.Charge
	}
	if m.air.a1 > 0 {
		m.air.addTo(&s, hInv, g, c.Water)
	}
	for i := range m.sys {
		n, r := c.Totals[i], &m.row[i]
		switch {
		case n == 0 || r.gas:
		case r.steps == 1:
			s.addPair(r, n, hInv, g, gInv)
		case r.z0 <= 0:
			s.addAnions(r, n, hInv, g, gInv)
		default:
			s.addAmpholyte(r, n, hInv, g, gInv)
		}
	}
	return s
}

// charge is the net charge and Σ z²n alone: what at gives, in a third of the time.
func (m *Model) charge(h, g, gInv float64, c *Composition) (q, square float64) {
	hInv := 1 / h
	hp, oh := c.Water*g*h, c.Water*g*m.kw*hInv
	q, square = c.Charge+hp-oh, c.Strength+hp+oh
	if m.air.a1 > 0 {
		b, x := m.air.dissolved(hInv, g)
		q -= c.Water * (b + 2*x)
		square += c.Water * (b + 4*x)
	}
	g2 := g * g
	for i := range m.sys {
		n, r := c.Totals[i], &m.row[i]
		if n == 0 || r.gas {
			continue
		}
		f := firstFactor(r.z0, g, gInv) * hInv
		z := float64(r.z0)
		w, sum, sz, sz2 := 1.0, 1.0, z, z*z
		for j := range r.steps {
			w *= r.k[j] * f
			f *= g2
			z--
			sum += w
			sz += w * z
			sz2 += w * z * z
		}
		k := n / sum
		q += k * sz
		square += k * sz2
	}
	return q, square
}

// weights are the moments of the charge over the forms of one system.
type weights struct{ sum, z, z2, z3, z4 float64 }

// over sums the forms of one system, weighed by amount.
func (r *modelRow) over(hInv, g, gInv float64) (t weights) {
	// The step from charge z to z−1 has the factor G^((z−1)²−z²) = G^(1−2z),
	// one G² more at each step.
	f, g2 := firstFactor(r.z0, g, gInv)*hInv, g*g
	z := float64(r.z0)
	z2 := z * z
	w := 1.0
	t = weights{1, z, z2, z2 * z, z2 * z2}
	for j := range r.steps {
		w *= r.k[j] * f
		f *= g2
		z--
		wz := w * z
		wz2 := wz * z
		wz3 := wz2 * z
		t.sum += w
		t.z += wz
		t.z2 += wz2
		t.z3 += wz3
		t.z4 += wz3 * z
	}
	return t
}

// addAnions adds n mol of a system all of whose forms have z ≤ 0.
func (s *moments) addAnions(r *modelRow, n, hInv, g, gInv float64) {
	t := r.over(hInv, g, gInv)
	k := 1 / t.sum
	nk := n * k
	z, z2 := t.z*k, t.z2*k
	s.neg -= nk * t.z
	s.square += nk * t.z2
	s.negH -= nk * (t.z2 - z*t.z)
	cov := nk * (t.z3 - z2*t.z)
	s.negG -= cov
	s.squareH += cov
	s.squareG += nk * (t.z4 - z2*t.z2)
}

// addPair adds n mol of a system of one step: an acid of charge z and its base.
func (s *moments) addPair(r *modelRow, n, hInv, g, gInv float64) {
	w := r.k[0] * firstFactor(r.z0, g, gInv) * hInv
	k := 1 / (1 + w)
	acid := n * k
	base := acid * w
	v := base * k // the variance of the charge, mol
	z := float64(r.z0)
	d := 2*z - 1 // z² − (z−1)²
	s.square += acid*z*z + base*(z-1)*(z-1)
	s.squareH += v * d
	s.squareG += v * d * d
	if r.z0 > 0 {
		s.pos += acid*z + base*(z-1)
		s.posH += v
		s.posG += v * d
		return
	}
	s.neg += base*(1-z) - acid*z
	s.negH -= v
	s.negG -= v * d
}

// addAmpholyte adds n mol of a system with cations among its forms.
// The anions are summed apart; what is left of the net charge are the cations.
func (s *moments) addAmpholyte(r *modelRow, n, hInv, g, gInv float64) {
	t := r.over(hInv, g, gInv)
	f, g2 := firstFactor(r.z0, g, gInv)*hInv, g*g
	w, z := 1.0, r.z0
	var q weights // over the cations only
	for j := -1; z > 0; z-- {
		if j >= 0 {
			w *= r.k[j] * f
			f *= g2
		}
		j++
		x := float64(z)
		q.z += w * x
		q.z2 += w * x * x
		q.z3 += w * x * x * x
	}
	k := 1 / t.sum
	nk := n * k
	mz, mz2, mp := t.z*k, t.z2*k, q.z*k
	s.pos += nk * q.z
	s.neg += nk * (q.z - t.z)
	s.square += nk * t.z2
	ph, pg := nk*(q.z2-mp*t.z), nk*(q.z3-mp*t.z2)
	ch, cg := nk*(t.z2-mz*t.z), nk*(t.z3-mz2*t.z)
	s.posH += ph
	s.negH += ph - ch
	s.posG += pg
	s.negG += pg - cg
	s.squareH += cg
	s.squareG += nk * (t.z4 - mz2*t.z2)
}

// firstFactor is G^(1−2z).
func firstFactor(z int, g, gInv float64) float64 {
	switch z {
	case 0:
		return g
	case 1:
		return gInv
	case -1:
		return g * g * g
	case 2:
		return gInv * gInv * gInv
	}
	x, p, n := g, 1.0, 1-2*z
	if n < 0 {
		x, n = gInv, -n
	}
	for range n {
		p *= x
	}
	return p
}
