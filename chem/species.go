package chem

// moments is what one pass over all species gives, in mol, with derivatives by
// ln a(H⁺) in a held medium.
type moments struct {
	pos, neg   float64 // Σ zn of cations, Σ |z|n of anions; strong ions by their net charge
	posH, negH float64
}

// charge is the net charge in mol.
func (s *moments) charge() float64 { return s.pos - s.neg }

// chargeH is d charge / d ln a(H⁺); never negative.
func (s *moments) chargeH() float64 { return s.posH - s.negH }

// at sums over all species at an activity h of H⁺ in a held medium.
//
// The amount of a form with charge z is proportional to K h^z, so that the
// derivatives of means over the forms are covariances with z. Strong ions
// enter with their net charge, on one side only, which keeps digits near
// neutrality.
func (m *Model) at(h float64, md *Medium, c *Composition) moments {
	return m.moments(h, 1/h, md, c)
}

// moments is at, for who knows 1/h.
func (m *Model) moments(h, hInv float64, md *Medium, c *Composition) (s moments) {
	hp, oh := c.Water*h*md.hg, c.Water*md.oh*hInv
	s = moments{pos: hp, neg: oh, posH: hp, negH: -oh}
	if c.Charge > 0 {
		s.pos += c.Charge
	} else {
		s.neg -= c.Charge
	}
	if m.pco2 > 0 {
		b, x := c.Water*md.hco3*hInv, c.Water*md.co3*hInv*hInv
		s.neg += b + 2*x
		s.negH -= b + 4*x
	}
	for _, i := range m.simple {
		n, r := c.Totals[i], &m.row[i]
		if n == 0 || r.gas {
			continue
		}
		z := float64(r.z0)
		w, sum, sz, szz := 1.0, 1.0, z, z*z
		var pz, pzz float64
		if r.z0 > 0 {
			pz, pzz = sz, szz
		}
		for _, kj := range md.k[i][:r.steps] {
			w *= kj * hInv
			z--
			wz := w * z
			sum += w
			sz += wz
			szz += wz * z
			if z > 0 {
				pz += wz
				pzz += wz * z
			}
		}
		k := 1 / sum
		nk := n * k
		mean := sz * k
		ph := nk * (pzz - pz*mean)
		s.pos += nk * pz
		s.posH += ph
		s.neg += nk * (pz - sz)
		s.negH += ph - nk*(szz-sz*mean)
	}
	if len(m.cx) > 0 {
		m.withComplexes(h, md, c, &s)
	}
	return s
}

// charge is the net charge alone.
func (m *Model) charge(h float64, md *Medium, c *Composition) float64 {
	if len(m.cx) > 0 {
		s := m.at(h, md, c)
		return s.charge()
	}
	return m.simpleCharge(h, md, c)
}

// simpleCharge is the net charge of everything but the partners of complexes.
func (m *Model) simpleCharge(h float64, md *Medium, c *Composition) float64 {
	hInv := 1 / h
	q := c.Charge + c.Water*(h*md.hg-md.oh*hInv)
	if m.pco2 > 0 {
		q -= c.Water * hInv * (md.hco3 + 2*md.co3*hInv)
	}
	for _, i := range m.simple {
		n, r := c.Totals[i], &m.row[i]
		if n == 0 || r.gas {
			continue
		}
		z := float64(r.z0)
		w, sum, sz := 1.0, 1.0, z
		for _, kj := range md.k[i][:r.steps] {
			w *= kj * hInv
			z--
			sum += w
			sz += w * z
		}
		q += n * sz / sum
	}
	return q
}

// fractions are the shares of the forms, most protonated first.
func (m *Model) fractions(i int, h float64, md *Medium) []float64 {
	r := &m.row[i]
	out := make([]float64, r.steps+1)
	w, sum := 1.0, 1.0
	out[0] = 1
	for j := range r.steps {
		w *= md.k[i][j] / h
		out[j+1] = w
		sum += w
	}
	for j := range out {
		out[j] /= sum
	}
	return out
}
