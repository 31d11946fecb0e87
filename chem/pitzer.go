package chem

import (
	"math"
)

// Ion-specific activity coefficients: K. S. Pitzer, Activity Coefficients in
// Electrolyte Solutions, 2nd ed. (CRC Press 1991), ch. 3, eqs. 62–66, with
// unsymmetrical mixing (mixing.go) and the parameters of data/activity.csv.
//
// Single ions are put on the scale of pH by the convention for chloride of
// R. G. Bates & E. A. Guggenheim, Pure Appl. Chem. 1, 163 (1960):
// log γ(Cl⁻) = −A√I/(1 + 1.5√I), with a trace of chloride where there is none.
// Only pH and single ions depend on it; what is electrically neutral does not.

// maxLocal is how many kinds of ions one model may hold.
const maxLocal = 48

// strengthLimit is the ionic strength, mol/kg, above which the coefficients
// are held at their values there: no parameter was fitted beyond it.
const strengthLimit = 6.0

// pairKind tells pairs of ions apart.
type pairKind uint8

const (
	indifferent pairKind = iota // θ or λ, or nothing
	attracting                  // opposite charges, α = 2
	attracting2                 // two and two: α = 1.4, and 12 with β²
)

// pairAt are the parameters of two ions at one temperature.
type pairAt struct {
	b0, b1, c float64
	kind      pairKind
	mix       uint8 // mixingKind
	nothing   bool  // they do not feel each other
}

// closeAt is a β² of two ions of two charges.
type closeAt struct {
	i, j int
	b2   float64
}

// tripleAt is a ψ or ζ.
type tripleAt struct {
	i, j, k int
	v       float64
}

// triplesWith are those with one strong ion; −1 for the ones that always count.
type triplesWith struct {
	with int
	of   []tripleAt
}

// activity is the activity model of one Model: the ions it may hold, with
// their parameters at its temperature.
type activity struct {
	aPhi     float64 // Debye–Hückel, kg^½ mol^−½, for ln γ and the osmotic coefficient
	n        int
	row      [maxLocal]int      // in the table of ions
	z        [maxLocal]float64  // charge numbers
	pair     []pairAt           // n × n
	with     [maxLocal][]pairAt // the rows of it
	close    []closeAt
	triple   []triplesWith
	twos     bool    // pairs of two and two are possible
	kinds    []uint8 // of unsymmetrical mixing
	everyone []uint8
	wanted   int // the first of them, whose coefficients the balance of charge needs
	strong   [MaxIons]int
	h, oh    int
	na, cl   int
	roots    *[rootSteps + 1]rootRow
	mixings  *mixingTable
}

// newActivity prepares the ions at temperature t: H⁺, OH⁻, all strong ions and
// those that are named besides (rows of the table of ions).
func newActivity(t Celsius, named []int) *activity {
	tab, p := ions(), allParameters()
	a := &activity{aPhi: DebyeHuckelA(t) * math.Ln10 / 3, roots: roots(), mixings: mixings()}
	a.h, a.oh = a.local(tab.byName["H"]), a.local(tab.byName["OH"])
	a.cl = a.local(tab.byName["Cl"])
	for _, row := range named {
		a.local(row)
	}
	a.wanted = a.n
	for slot, row := range tab.strong {
		a.strong[slot] = a.local(row)
	}
	a.na = a.local(tab.byName["Na"])
	a.pair = make([]pairAt, a.n*a.n)
	T := t.Kelvin()
	var used [mixingKinds]bool
	for i := range a.n {
		for j := range i + 1 {
			x := pairOf(&p.pair[a.row[i]][a.row[j]], T)
			zi, zj := tab.rows[a.row[i]].charge, tab.rows[a.row[j]].charge
			switch {
			case zi*zj < 0 && (zi == 1 || zi == -1 || zj == 1 || zj == -1):
				x.kind = attracting
			case zi*zj < 0:
				x.kind, a.twos = attracting2, true
				if b2 := p.pair[a.row[i]][a.row[j]].b2.at(T); b2 != 0 {
					a.close = append(a.close, closeAt{i, j, b2})
				}
			default:
				x.mix = mixingKind(zi, zj)
				used[x.mix] = true
			}
			x.nothing = x == (pairAt{})
			a.pair[i*a.n+j], a.pair[j*a.n+i] = x, x
		}
	}
	for k := range a.n {
		a.everyone = append(a.everyone, uint8(k))
		a.with[k] = a.pair[k*a.n : (k+1)*a.n]
	}
	for k := 1; k < mixingKinds; k++ {
		if used[k] {
			a.kinds = append(a.kinds, uint8(k))
		}
	}
	a.addTriples(p, T)
	return a
}

func pairOf(l *pairLaw, T float64) pairAt {
	if l.from == missing {
		return pairAt{}
	}
	if l.steady {
		return pairAt{b0: l.b0.a1, b1: l.b1.a1, c: l.c.a1}
	}
	return pairAt{b0: l.b0.at(T), b1: l.b1.at(T), c: l.c.at(T)}
}

func (a *activity) addTriples(p *parameters, T float64) {
	place := map[int]int{}
	for i := range a.n {
		place[a.row[i]] = i
	}
	for _, t := range p.triple {
		i, okI := place[t.i]
		j, okJ := place[t.j]
		k, okK := place[t.k]
		if okI && okJ && okK {
			a.addTriple(tripleAt{i, j, k, t.v.at(T)})
		}
	}
}

func (a *activity) addTriple(t tripleAt) {
	with := -1
	for _, k := range [3]int{t.i, t.j, t.k} {
		if ions().rows[a.row[k]].slot >= 0 && k >= a.wanted {
			with = k
		}
	}
	for g := range a.triple {
		if a.triple[g].with == with {
			a.triple[g].of = append(a.triple[g].of, t)
			return
		}
	}
	a.triple = append(a.triple, triplesWith{with, []tripleAt{t}})
}

// local is the place of an ion in this model, made when there is none.
func (a *activity) local(row int) int {
	for i := range a.n {
		if a.row[i] == row {
			return i
		}
	}
	i := a.n
	a.row[i], a.z[i] = row, float64(ions().rows[row].charge)
	a.n++
	return i
}

// pull is what an ion feels of its pairs: sums of B or Φ and of C over the
// molalities of the others.
type pull struct{ b, c float64 }

// coefficients fills in ln γ of the wanted ions, or of all, on the scale of
// pH, and returns the ionic strength and ln of the activity of water.
func (a *activity) coefficients(f *field, m, lnG *[maxLocal]float64, all bool) (strength, lnWater float64) {
	f.fill(a, m)
	if !(f.strength >= 1e-12) {
		clear(lnG[:])
		return f.strength, 0
	}
	bp := a.pairs(f)
	var sum pull
	sumM := 0.0
	for _, k := range f.on[:f.count] {
		x, mk := &f.pull[k], f.m[k]
		sum.b += mk * x.b
		sum.c += mk * x.c
		sumM += mk
	}
	sum = pull{sum.b / 2, sum.c / 2}
	dh := -a.aPhi * f.root / (1 + debyeB*f.root)
	big := dh - a.aPhi*2/debyeB*f.ln + bp
	n := a.wanted
	if all {
		n = a.n
	}
	for k := range n {
		x := &f.pull[k]
		if f.m[k] == 0 {
			*x = a.feels(f, k)
		}
		z := a.z[k]
		lnG[k] = z*z*big + math.Abs(z)*sum.c + 2*x.b + f.z*x.c
	}
	third := a.triples(f, lnG, all)
	// Bates and Guggenheim.
	d := lnG[a.cl] + 3*a.aPhi*f.root/(1+1.5*f.root)
	for k := range n {
		lnG[k] += a.z[k] * d
	}
	phi := sumM + 2*(f.i*dh+sum.b+f.i*bp+f.z*sum.c+third)
	return f.strength, -molarMassOfWater * phi / f.scale
}

// molarMassOfWater in kg/mol.
const molarMassOfWater = 0.0180153

// pairs sums over the pairs of ions that are there, each once, and returns the
// sum of m m′ B′ or Φ′.
func (a *activity) pairs(f *field) (bp float64) {
	on := &f.pull
	for p, k := range f.on[:f.count] {
		mk, row := f.m[k], a.with[k]
		var s pull
		slopes := 0.0
		for _, j := range f.on[:p] {
			x, mj, y := &row[j], f.m[j], &on[j]
			switch {
			case x.kind != indifferent:
				v := x.b0 + x.b1*f.g[x.kind&3]
				slopes += mj * (x.b1 * f.gp[x.kind&3])
				s.b += mj * v
				s.c += mj * x.c
				y.b += mk * v
				y.c += mk * x.c
			case !x.nothing:
				v := x.b0 + f.e[x.mix&15]
				slopes += mj * f.ep[x.mix&15]
				s.b += mj * v
				y.b += mk * v
			}
		}
		if a.z[k] == 0 { // a neutral species with itself
			s.b += mk * row[k].b0
		}
		on[k].b += s.b
		on[k].c += s.c
		bp += mk * slopes
	}
	for i := range a.close {
		x := &a.close[i]
		g, gp := pitzerG(12 * f.root)
		mi, mj := f.m[x.i], f.m[x.j]
		on[x.i].b += mj * x.b2 * g
		on[x.j].b += mi * x.b2 * g
		bp += mi * mj * x.b2 * gp / f.i
	}
	return bp
}

// feels is the pull on an ion of which there is no more than a trace.
func (a *activity) feels(f *field, k int) (s pull) {
	row := a.with[k]
	for _, j := range f.on[:f.count] {
		x, mj := &row[j], f.m[j]
		switch {
		case x.kind != indifferent:
			s.b += mj * (x.b0 + x.b1*f.g[x.kind&3])
			s.c += mj * x.c
		case !x.nothing:
			s.b += mj * (x.b0 + f.e[x.mix&15])
		}
	}
	for i := range a.close {
		if x := &a.close[i]; x.i == k || x.j == k {
			g, _ := pitzerG(12 * f.root)
			s.b += f.m[x.i+x.j-k] * x.b2 * g
		}
	}
	return s
}

// triples adds ψ and ζ to ln γ and returns their sum. Those with a strong ion
// that is not there change nothing but the coefficient of that one.
func (a *activity) triples(f *field, lnG *[maxLocal]float64, all bool) (sum float64) {
	for g := range a.triple {
		list := &a.triple[g]
		if !all && list.with >= 0 && f.m[list.with] == 0 {
			continue
		}
		for t := range list.of {
			x := &list.of[t]
			mi, mj, mk := f.m[x.i], f.m[x.j], f.m[x.k]
			ij, ik, jk := mi*mj, mi*mk, mj*mk
			lnG[x.i] += x.v * jk
			lnG[x.j] += x.v * ik
			lnG[x.k] += x.v * ij
			sum += x.v * ij * mk
		}
	}
	return sum
}
