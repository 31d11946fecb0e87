package pitzer

import (
	"cmp"
	"math"
	"sync"
)

// Unsymmetrical mixing: ions of the same sign and unlike charges repel each
// other differently than ions of like charges do. K. S. Pitzer, J. Solution
// Chem. 4, 249 (1975):
//
//	Eθ  = (z z′/4I) [J(x_zz′) − ½ J(x_zz) − ½ J(x_z′z′)]
//	Eθ′ = (z z′/8I²) [xJ′(x_zz′) − ½ xJ′(x_zz) − ½ xJ′(x_z′z′)] − Eθ/I
//
// with x_zz′ = 6 z z′ Aᵩ √I. Both brackets depend on u = Aᵩ √I alone, so one
// table along √u serves every temperature.

// mostCharge is the highest charge number of an ion.
const mostCharge = 6

// The table of mixing goes in steps of mixingWidth along √u, up to 9 mol/kg.
const (
	mixingSteps = 128
	mixingWidth = 1.12 / mixingSteps
)

// mixingRow is one point of the table for one pair of charges: e = I Eθ and
// f = I² (Eθ′ + Eθ/I), with their slopes from one point to the next.
type mixingRow struct{ e, de, f, df float64 }

// mixingKind numbers the pairs of unlike charges from 1; 0 is none.
func mixingKind(z, y int) uint8 {
	a, b := max(z, -z), max(y, -y)
	if a > b {
		a, b = b, a
	}
	if a == b || a == 0 || cmp.Compare(z, 0) != cmp.Compare(y, 0) {
		return 0
	}
	return uint8(1 + (b-1)*(b-2)/2 + a - 1)
}

// mixingKinds is how many kinds there are, none included.
const mixingKinds = 1 + mostCharge*(mostCharge-1)/2

type mixingTable [mixingSteps + 1][mixingKinds]mixingRow

var mixings = sync.OnceValue(func() *mixingTable {
	var t mixingTable
	var j [mostCharge*mostCharge + 1]struct{ j, xj float64 }
	var products []int // of two charges
	for k := 1; k < len(j); k++ {
		for b := 1; b <= mostCharge; b++ {
			if k%b == 0 && k/b <= mostCharge {
				products = append(products, k)
				break
			}
		}
	}
	at := func(v float64) (e, f [mixingKinds]float64) {
		for _, k := range products {
			j[k].j, j[k].xj = pitzerJ(6 * float64(k) * v * v)
		}
		for b := 2; b <= mostCharge; b++ {
			for a := 1; a < b; a++ {
				k, n := float64(a*b), mixingKind(a, b)
				e[n] = k / 4 * (j[a*b].j - (j[a*a].j+j[b*b].j)/2)
				f[n] = k / 8 * (j[a*b].xj - (j[a*a].xj+j[b*b].xj)/2)
			}
		}
		return e, f
	}
	for i := 1; i < len(t); i++ { // both vanish at zero
		const d = 1e-2 // of a step
		e, f := at(mixingWidth * float64(i))
		up, fUp := at(mixingWidth * (float64(i) + d))
		down, fDown := at(mixingWidth * (float64(i) - d))
		for k := range e {
			t[i][k] = mixingRow{e[k], (up[k] - down[k]) / (2 * d), f[k], (fUp[k] - fDown[k]) / (2 * d)}
		}
	}
	return &t
})

// mixing fills in Eθ and Eθ′ of the kinds wanted, by cubic interpolation.
func (t *mixingTable) mixing(u, strength float64, kinds []uint8, e, slope *[mixingKinds]float64) {
	x := math.Sqrt(u) * (1 / mixingWidth)
	i := min(int(x), mixingSteps-1)
	s := min(x-float64(i), 1)
	// Cubic Hermite on the unit interval.
	s2 := s * s
	h1 := s2 * (3 - 2*s)
	h0 := 1 - h1
	d0, d1 := s*(1-s)*(1-s), s2*(s-1)
	inv := 1 / strength
	for _, k := range kinds {
		k &= mixingKinds - 1
		a, b := &t[i][k], &t[i+1][k]
		v := (h0*a.e + h1*b.e + d0*a.de + d1*b.de) * inv
		e[k] = v
		slope[k] = ((h0*a.f+h1*b.f+d0*a.df+d1*b.df)*inv - v) * inv
	}
}

// rootRow is a point of the table of functions of √I with their slopes from
// one point to the next: g and g′ for α = 2 and 1.4, and ln(1 + 1.2 √I).
type rootRow struct{ v, d [5]float64 }

// The table of functions of √I goes up to StrengthLimit.
const (
	rootSteps = 160
	rootWidth = 2.46 / rootSteps
)

var roots = sync.OnceValue(func() *[rootSteps + 1]rootRow {
	var t [rootSteps + 1]rootRow
	at := func(r float64) (v [5]float64) {
		v[0], v[1] = pitzerG(2 * r)
		v[2], v[3] = pitzerG(1.4 * r)
		v[4] = math.Log1p(debyeB * r)
		return v
	}
	for i := range t {
		const d = 1e-2 // of a step
		t[i].v = at(rootWidth * float64(i))
		up, down := at(rootWidth*(float64(i)+d)), at(rootWidth*(float64(i)-d))
		for k := range up {
			t[i].d[k] = (up[k] - down[k]) / (2 * d)
		}
	}
	return &t
})

// pitzerG is g(x) = 2[1 − (1+x)e⁻ˣ]/x² and g′(x) = −2[1 − (1+x+x²/2)e⁻ˣ]/x².
func pitzerG(x float64) (g, slope float64) {
	if math.Abs(x) < 1e-3 {
		return 1 - 2*x/3 + x*x/4, -x/3 + x*x/4
	}
	e := math.Exp(-x)
	g = 2 / (x * x) * (1 - (1+x)*e)
	return g, e - g
}

// The Chebyshev series of J below and above x = 1: C. E. Harvie, thesis
// (San Diego 1981), as given in K. S. Pitzer, Activity Coefficients in
// Electrolyte Solutions, 2nd ed. (CRC 1991), appendix of ch. 3; coefficients
// from memory, checked against the integral in the tests.
var chebyshevJ = [2][21]float64{
	{1.925154014814667, -.060076477753119, -.029779077456514, -.007299499690937, .000388260636404, .000636874599598, .000036583601823,
		-.000045036975204, -.000004537895710, .000002937706971, .000000396566462, -.000000202099617, -.000000025267769, .000000013522610,
		.000000001229405, -.000000000821969, -.000000000050847, .000000000046333, .000000000001943, -.000000000002563, -.000000000010991},
	{.628023320520852, .462762985338493, .150044637187895, -.028796057604906, -.036552745910311, -.001668087945272, .006519840398744,
		.001130378079086, -.000887171310131, -.000242107641309, .000087294451594, .000034682122751, -.000004583768938, -.000003548684306,
		-.000000250453880, .000000216991779, .000000080779570, .000000004558555, -.000000006944757, -.000000002849257, .000000000237816},
}

// pitzerJ is J(x) and xJ′(x).
func pitzerJ(x float64) (j, xj float64) {
	root := math.Pow(x, 0.2)
	c, z, dz := &chebyshevJ[0], 4*root-2, 0.8*root // x dz/dx
	if x > 1 {
		root = 1 / math.Sqrt(root)
		c, z, dz = &chebyshevJ[1], 40./9*root-22./9, -4./9*root
	}
	var b0, b1, b2, d0, d1, d2 float64
	for k := len(c) - 1; k >= 0; k-- {
		b2, b1 = b1, b0
		d2, d1 = d1, d0
		b0 = z*b1 - b2 + c[k]
		d0 = b1 + z*d1 - d2
	}
	return x/4 - 1 + (b0-b2)/2, x/4 + dz*(d0-d2)/2
}
