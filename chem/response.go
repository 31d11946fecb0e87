package chem

import "math"

// Response is how the pH of a solved composition answers to what it was computed with: a
// coefficient, a pK, the constant of a complex. The rest is held.
type Response struct {
	m     *Model
	c     *Composition
	md    Medium
	h     float64
	slope float64 // −d charge/d pH in a held medium, mol
}

// Response is that of a composition in the medium that belongs to it.
func (m *Model) Response(c *Composition, e Equilibrium, md *Medium) *Response {
	return &Response{m, c, *md, math.Pow(10, -e.PH), -e.Slope}
}

// Moved is by how much the pH moves when the charge at this pH does, mol, to first
// order and never by more than a pH unit and a half.
func (r *Response) Moved(charge float64) float64 {
	return math.Max(-1.5, math.Min(1.5, charge/r.slope))
}

// stepOfLn is the change of a logarithm by which a derivative is taken.
const stepOfLn = 1e-3

// movedIn is by how much the pH moves in another medium.
func (r *Response) movedIn(md *Medium) float64 {
	return r.Moved(r.m.charge(r.h, md, r.c) - r.m.charge(r.h, &r.md, r.c))
}

// Form is dpH/dlog10 γ of the form of a system that has lost k protons.
func (r *Response) Form(i, k int) float64 {
	md, row := r.md, &r.m.row[i]
	up := math.Exp(stepOfLn)
	if k > 0 {
		md.k[i][k-1] /= up
	}
	if k < row.steps {
		md.k[i][k] *= up
	}
	for x := range r.m.cx {
		q := &r.m.cx[x]
		if int(q.ligand) == i && k == row.steps {
			md.cx[x] += q.nL * stepOfLn
		}
		if int(q.metal) == i && k == 0 {
			md.cx[x] += q.nM * stepOfLn
		}
	}
	return r.movedIn(&md) / stepOfLn * math.Ln10
}

// Step is dpH/dpK of a step, and d ln(capacity)/dpK where the pH has followed.
func (r *Response) Step(i, k int) (ph, capacity float64) {
	md := r.md
	// A pK of a ligand below the step that takes up the proton binds metals the
	// more weakly the higher it is: constants of complexes count from the
	// least protonated form and stay.
	md.k[i][k] *= math.Exp(-stepOfLn)
	before, after := r.m.at(r.h, &r.md, r.c), r.m.at(r.h, &md, r.c)
	d := r.Moved(after.charge() - before.charge())
	then := r.m.at(r.h*math.Pow(10, -d), &md, r.c)
	return d / stepOfLn * math.Ln10, math.Log(then.chargeH()/before.chargeH()) / stepOfLn * math.Ln10
}

// Complex is dpH/dln β of a complex, Bound.At, and by how much the pH moves when
// ln β is higher by a step that is not small.
func (r *Response) Complex(at int, step float64) (slope, moved float64) {
	md := r.md
	md.cx[at] += stepOfLn
	slope = r.movedIn(&md) / stepOfLn
	md.cx[at] += step - stepOfLn
	return slope, r.movedIn(&md)
}

// Free is, for each system, one standard deviation of ln of its free molality at this pH:
// each constant of a complex and each pK of a ligand is moved by its spread in turn, and
// what is bound is solved again.
func (r *Response) Free() (sd [MaxSystems]float64) {
	m := r.m
	var is binding
	is.prepare(m, r.h, &r.md, r.c)
	if !is.solve(m, &r.md.free) {
		return sd
	}
	again := func(md *Medium) {
		var b binding
		b.prepare(m, r.h, md, r.c)
		if !b.solve(m, &md.free) {
			return
		}
		for _, i := range b.list[:b.n] {
			e := b.y[i] - is.y[i]
			sd[i] += e * e
		}
	}
	for k := range m.cx {
		if x := &m.cx[k]; x.metal >= 0 && is.c[k] > 0 {
			md := r.md
			md.cx[k] += x.of.Spread * math.Ln10
			again(&md)
		}
	}
	for _, i := range m.partners {
		for k, s := range m.sys[i].Steps {
			if m.metals&(1<<i) != 0 || r.c.Totals[i] == 0 || m.row[i].gas {
				continue
			}
			md := r.md
			md.k[i][k] *= math.Exp(-s.Spread * math.Ln10)
			again(&md)
		}
	}
	for i, v := range sd {
		sd[i] = math.Sqrt(v)
	}
	return sd
}
