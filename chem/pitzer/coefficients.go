package pitzer

import (
	"math"
	"slices"
)

// MaxLocal is how many kinds of ions one Set may hold.
const MaxLocal = 48

// StrengthLimit is the ionic strength, mol/kg, above which the coefficients
// are held at their values there: no parameter was fitted beyond it.
const StrengthLimit = 6.0

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

// closeAt is a β² of two ions, and the α that goes with it.
type closeAt struct {
	i, j      int
	b2, alpha float64
}

// The α of β², kg^½ mol^−½: that of two ions of two charges is Pitzer's. One charge and
// four take what is left of it at an ionic strength of 1/α² and more, where an ion pair with
// log K near 3 is full: a choice of this project.
const (
	alphaOfTwos = 12
	alphaOfPair = 30
)

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

// Set is the ions that a mixture may hold, with their parameters at one temperature. It is not
// changed by use.
type Set struct {
	aPhi     float64            // Debye–Hückel, kg^½ mol^−½, for ln γ and the osmotic coefficient
	N        int                // how many ions
	Row      [MaxLocal]int      // in the table of ions
	Z        [MaxLocal]float64  // charge numbers
	pair     []pairAt           // n × n
	with     [MaxLocal][]pairAt // the rows of it
	close    []closeAt
	triple   []triplesWith
	twos     bool         // pairs of two and two are possible
	kinds    []uint8      // of unsymmetrical mixing
	Everyone []uint8      // all places
	Wanted   int          // the first of them, whose coefficients the balance of charge needs
	Strong   [MaxIons]int // places of the strong ions, in the order of the table
	H, OH    int          // places
	Na, Cl   int
	roots    *[rootSteps + 1]rootRow
	mixings  *mixingTable
}

// Water is what of the solvent the coefficients rest on.
type Water struct {
	Kelvin float64
	Slope  float64 // of Debye and Hückel's limiting law for log10 γ, kg^½ mol^−½
}

// New prepares the ions in water: H⁺, OH⁻, all strong ions and those that are named besides
// (rows of the table of ions).
func New(w Water, named []int) *Set {
	T := w.Kelvin
	tab, p := Ions(), allParameters()
	a := &Set{aPhi: w.Slope * math.Ln10 / 3, roots: roots(), mixings: mixings()}
	a.H, a.OH = a.Local(tab.ByName["H"]), a.Local(tab.ByName["OH"])
	a.Cl = a.Local(tab.ByName["Cl"])
	for _, row := range named {
		a.Local(row)
	}
	a.Wanted = a.N
	for slot, row := range tab.strong {
		a.Strong[slot] = a.Local(row)
	}
	a.Na = a.Local(tab.ByName["Na"])
	a.pair = make([]pairAt, a.N*a.N)
	var used [mixingKinds]bool
	for i := range a.N {
		for j := range i + 1 {
			x := pairOf(&p.pair[a.Row[i]][a.Row[j]], T)
			zi, zj := tab.Rows[a.Row[i]].Charge, tab.Rows[a.Row[j]].Charge
			switch {
			case zi*zj < 0 && (zi == 1 || zi == -1 || zj == 1 || zj == -1):
				x.kind = attracting
				a.near(i, j, p.pair[a.Row[i]][a.Row[j]].b2.at(T), alphaOfPair)
			case zi*zj < 0:
				x.kind, a.twos = attracting2, true
				a.near(i, j, p.pair[a.Row[i]][a.Row[j]].b2.at(T), alphaOfTwos)
			default:
				x.mix = mixingKind(zi, zj)
				used[x.mix] = true
			}
			x.nothing = x == (pairAt{})
			a.pair[i*a.N+j], a.pair[j*a.N+i] = x, x
		}
	}
	for k := range a.N {
		a.Everyone = append(a.Everyone, uint8(k))
		a.with[k] = a.pair[k*a.N : (k+1)*a.N]
	}
	for k := 1; k < mixingKinds; k++ {
		if used[k] {
			a.kinds = append(a.kinds, uint8(k))
		}
	}
	a.addTriples(p, T)
	return a
}

// near notes a β², if there is one.
func (a *Set) near(i, j int, b2, alpha float64) {
	if b2 != 0 {
		a.close = append(a.close, closeAt{i, j, b2, alpha})
	}
}

func pairOf(l *pairLaw, T float64) pairAt {
	if l.from == Missing {
		return pairAt{}
	}
	if l.steady {
		return pairAt{b0: l.b0.a1, b1: l.b1.a1, c: l.c.a1}
	}
	return pairAt{b0: l.b0.at(T), b1: l.b1.at(T), c: l.c.at(T)}
}

func (a *Set) addTriples(p *parameters, T float64) {
	place := map[int]int{}
	for i := range a.N {
		place[a.Row[i]] = i
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

func (a *Set) addTriple(t tripleAt) {
	with := -1
	for _, k := range [3]int{t.i, t.j, t.k} {
		if Ions().Rows[a.Row[k]].Slot >= 0 && k >= a.Wanted {
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

// Local is the place of an ion in this model, made when there is none.
func (a *Set) Local(row int) int {
	if i := slices.Index(a.Row[:a.N], row); i >= 0 {
		return i
	}
	i := a.N
	a.Row[i], a.Z[i] = row, float64(Ions().Rows[row].Charge)
	a.N++
	return i
}

// pull is what an ion feels of its pairs: sums of B or Φ and of C over the
// molalities of the others.
type pull struct{ b, c float64 }

// Coefficients fills in ln γ of the wanted ions, or of all, on the scale of
// pH, and returns the ionic strength and ln of the activity of water.
func (a *Set) Coefficients(f *Field, m, lnG *[MaxLocal]float64, all bool) (strength, lnWater float64) {
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
	n := a.Wanted
	if all {
		n = a.N
	}
	for k := range n {
		x := &f.pull[k]
		if f.m[k] == 0 {
			*x = a.feels(f, k)
		}
		z := a.Z[k]
		lnG[k] = z*z*big + math.Abs(z)*sum.c + 2*x.b + f.z*x.c
	}
	third := a.triples(f, lnG, all)
	// Bates and Guggenheim.
	d := lnG[a.Cl] + 3*a.aPhi*f.root/(1+1.5*f.root)
	for k := range n {
		lnG[k] += a.Z[k] * d
	}
	phi := sumM + 2*(f.i*dh+sum.b+f.i*bp+f.z*sum.c+third)
	return f.strength, -molarMassOfWater * phi / f.scale
}

// molarMassOfWater in kg/mol.
const molarMassOfWater = 0.0180153

// pairs sums over the pairs of ions that are there, each once, and returns the
// sum of m m′ B′ or Φ′.
func (a *Set) pairs(f *Field) (bp float64) {
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
		if a.Z[k] == 0 { // a neutral species with itself
			s.b += mk * row[k].b0
		}
		on[k].b += s.b
		on[k].c += s.c
		bp += mk * slopes
	}
	for i := range a.close {
		x := &a.close[i]
		mi, mj := f.m[x.i], f.m[x.j]
		if mi == 0 && mj == 0 {
			continue
		}
		g, gp := pitzerG(x.alpha * f.root)
		on[x.i].b += mj * x.b2 * g
		on[x.j].b += mi * x.b2 * g
		bp += mi * mj * x.b2 * gp / f.i
	}
	return bp
}

// feels is the pull on an ion of which there is no more than a trace.
func (a *Set) feels(f *Field, k int) (s pull) {
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
			g, _ := pitzerG(x.alpha * f.root)
			s.b += f.m[x.i+x.j-k] * x.b2 * g
		}
	}
	return s
}

// triples adds ψ and ζ to ln γ and returns their sum. Those with a strong ion
// that is not there change nothing but the coefficient of that one.
func (a *Set) triples(f *Field, lnG *[MaxLocal]float64, all bool) (sum float64) {
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
