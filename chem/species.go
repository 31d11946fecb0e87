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
	for i := range m.sys {
		if n := c.Totals[i]; n != 0 {
			s.add(&m.row[i], n, hInv, g, gInv)
		}
	}
	return s
}

// add sums over the forms of one system of n mol.
func (s *moments) add(r *modelRow, n, hInv, g, gInv float64) {
	// The step from charge z to z−1 has the factor G^((z−1)²−z²) = G^(1−2z),
	// one G² more at each step.
	f, g2 := firstFactor(r.z0, g, gInv), g*g
	z := float64(r.z0)
	w, sum := 1.0, 1.0
	z2 := z * z
	p, q := max(z, 0), max(-z, 0)
	sz, sz2, sz3, sz4 := z, z2, z2*z, z2*z2
	sp, spz, spz2 := p, p*z, p*z2
	sq, sqz, sqz2 := q, q*z, q*z2
	for j := range r.steps {
		w *= r.k[j] * f * hInv
		f *= g2
		z--
		z2 = z * z
		sum += w
		wz, wz2 := w*z, w*z2
		sz += wz
		sz2 += wz2
		sz3 += wz2 * z
		sz4 += wz2 * z2
		if z > 0 {
			sp += wz
			spz += wz2
			spz2 += wz2 * z
		} else {
			sq -= wz
			sqz -= wz2
			sqz2 -= wz2 * z
		}
	}
	k := 1 / sum
	mz, mz2, mp, mq := sz*k, sz2*k, sp*k, sq*k
	s.pos += n * mp
	s.neg += n * mq
	s.square += n * mz2
	s.posH += n * (spz*k - mp*mz)
	s.negH += n * (sqz*k - mq*mz)
	s.squareH += n * (sz3*k - mz2*mz)
	s.posG += n * (spz2*k - mp*mz2)
	s.negG += n * (sqz2*k - mq*mz2)
	s.squareG += n * (sz4*k - mz2*mz2)
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
	x, p := g, 1.0
	n := 1 - 2*z
	if n < 0 {
		x, n = gInv, -n
	}
	for range n {
		p *= x
	}
	return p
}
