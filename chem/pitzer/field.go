package pitzer

import "math"

// Field is what all ions of a mixture feel alike, and room to compute it in: one for each
// goroutine. With Some above zero only the ions of Who may be there.
type Field struct {
	strength float64              // mol/kg
	scale    float64              // of the molalities, below 1 beyond StrengthLimit
	i, root  float64              // that are computed with
	z        float64              // Σ m|z|
	ln       float64              // ln(1 + 1.2 √I)
	g, gp    [4]float64           // of β¹ in B and in B′, by pairKind
	e, ep    [mixingKinds]float64 // Eθ, Eθ′
	Some     int                  // of Who; 0 is all
	Who      [MaxLocal]uint8      // the places of the ions that may be there
	count    int
	on       [MaxLocal]uint8   // ions that are there in more than traces
	m        [MaxLocal]float64 // their molalities, scaled; 0 for the others
	pull     [MaxLocal]pull
}

// trace is the share of the ionic strength below which the molality of an ion
// changes no coefficient; up to ten times that its effect grows, so that it
// comes in without a step. What is left out moves no pH by more than 1e-6.
const trace = 1e-6

// fill computes it from molalities.
func (f *Field) fill(a *Set, m *[MaxLocal]float64) {
	sum, z := 0.0, 0.0
	list := a.Everyone
	if f.Some > 0 {
		list = f.Who[:f.Some]
	}
	for _, k := range list {
		q := m[k] * a.Z[k]
		sum += q * a.Z[k]
		z += math.Abs(q)
	}
	if !(sum >= 0 && sum < math.MaxFloat64) { // no mixture has it, and nothing is said of it
		f.strength = math.NaN()
		return
	}
	f.strength, f.scale, f.i = sum/2, 1, sum/2
	if f.i > StrengthLimit {
		f.scale = StrengthLimit / f.i
		f.i = StrengthLimit
	}
	f.z, f.root = z*f.scale, math.Sqrt(f.i)
	least, n := trace*f.strength, 0
	for _, k := range list {
		x := m[k]
		if x <= least {
			if x < -f.strength { // less than nothing, and what else there is does not outweigh it
				f.strength = math.NaN()
				return
			}
			f.m[k] = 0
			continue
		}
		if x < 10*least {
			t := (x - least) / (9 * least)
			x *= t * t * (3 - 2*t)
		}
		f.on[n], f.m[k] = k, x*f.scale
		f.pull[k] = pull{}
		n++
	}
	f.count = n
	x := f.root * (1 / rootWidth)
	i := min(int(x), rootSteps-1)
	x -= float64(i)
	x2 := x * x
	h1 := x2 * (3 - 2*x)
	h0, d0, d1 := 1-h1, x*(1-x)*(1-x), x2*(x-1)
	p, q := &a.roots[i], &a.roots[i+1]
	at := func(k int) float64 { return h0*p.v[k] + h1*q.v[k] + d0*p.d[k] + d1*q.d[k] }
	inv := 1 / max(f.i, 1e-12)
	f.g[attracting], f.gp[attracting] = at(0), at(1)*inv
	if a.twos {
		f.g[attracting2], f.gp[attracting2] = at(2), at(3)*inv
	}
	f.ln = at(4)
	a.mixings.mixing(a.aPhi*f.root, f.i, a.kinds, &f.e, &f.ep)
}

// debyeB is b in Pitzer's form of the law of Debye and Hückel, kg^½ mol^−½.
const debyeB = 1.2
