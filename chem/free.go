package chem

import "math"

// Free is a metal ion, of which complexes and hydroxide may hold a part.
type Free struct {
	System      string
	Total, Free float64 // mol/kg; free is the bare ion with its water alone
	PerLitre    float64 // kg of water in a litre of the solution: with it they are mol/L
	// Spread is one standard deviation of ln Free at this pH, from the constants of the
	// complexes and the pK of their ligands.
	Spread float64
}

// freeSpreads are those of all systems: each constant is moved by its spread in turn, and
// what is bound is solved again.
func (d *description) freeSpreads() (sd [MaxSystems]float64) {
	m, h := d.model, math.Pow(10, -d.eq.PH)
	again := func(md *Medium) {
		var b binding
		b.prepare(m, h, md, &d.comp)
		if !b.solve(m, &md.free) {
			return
		}
		for _, i := range b.list[:b.n] {
			e := b.y[i] - d.complexes.y[i]
			sd[i] += e * e
		}
	}
	for k := range m.cx {
		if x := &m.cx[k]; x.metal >= 0 && d.complexes.c[k] > 0 {
			md := d.medium
			md.cx[k] += x.of.Spread * math.Ln10
			again(&md)
		}
	}
	for _, i := range m.partners {
		for k, s := range m.sys[i].Steps {
			if m.metals&(1<<i) != 0 || d.comp.Totals[i] == 0 || m.row[i].gas {
				continue
			}
			md := d.medium
			md.k[i][k] *= math.Exp(-s.Spread * math.Ln10)
			again(&md)
		}
	}
	for i, v := range sd {
		sd[i] = math.Sqrt(v)
	}
	return sd
}
