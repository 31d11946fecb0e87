package pitzer

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// salt puts a molality of a salt into an activity model.
func (a *Set) salt(m *[MaxLocal]float64, molality float64, parts map[string]float64) {
	for name, n := range parts {
		m[a.Local(Ions().ByName[name])] += n * molality
	}
}

// slopeAt is the slope of Debye and Hückel for log10 γ at t °C, between four values of
// thermo.DebyeHuckelA, which has tests of its own.
func slopeAt(t float64) float64 {
	at, a := []float64{0, 25, 50, 60}, []float64{0.49082, 0.51001, 0.53456, 0.54588}
	i := 0
	for i < len(at)-2 && t > at[i+1] {
		i++
	}
	return a[i] + (a[i+1]-a[i])*(t-at[i])/(at[i+1]-at[i])
}

// meanLog is log10 of the mean activity coefficient of a salt and the osmotic
// coefficient of the solution.
func meanLog(t float64, molality float64, parts map[string]float64) (lg, phi float64) {
	var rows []int
	for name := range parts {
		rows = append(rows, Ions().ByName[name])
	}
	a := New(Water{t + 273.15, slopeAt(t)}, rows)
	var m, ln [MaxLocal]float64
	var f Field
	a.salt(&m, molality, parts)
	_, lnW := a.Coefficients(&f, &m, &ln, true)
	sum, nu := 0.0, 0.0
	for name, n := range parts {
		sum += n * ln[a.Local(Ions().ByName[name])]
		nu += n
	}
	return sum / nu / math.Ln10, -lnW / (molarMassOfWater * nu * molality)
}

// Mean activity and osmotic coefficients at 25 °C: R. A. Robinson & R. H.
// Stokes, Electrolyte Solutions, 2nd ed. (Butterworths 1959), appendices 8.9
// and 8.10, from memory. MgSO4 and Na2SO4 as there; 0.01 in log γ is asked.
func TestMeanActivityCoefficients(t *testing.T) {
	for _, tc := range []struct {
		salt   string
		m      float64
		gamma  float64
		phi    float64
		within float64
	}{
		{"H Cl", 0.1, 0.796, 0.943, 0.01}, {"H Cl", 1, 0.809, 1.039, 0.01}, {"H Cl", 3, 1.316, 1.348, 0.01},
		{"Na Cl", 0.1, 0.778, 0.932, 0.01}, {"Na Cl", 1, 0.657, 0.936, 0.01}, {"Na Cl", 3, 0.714, 1.045, 0.01}, {"Na Cl", 6, 0.986, 1.271, 0.01},
		{"K Cl", 0.1, 0.770, 0.927, 0.01}, {"K Cl", 1, 0.604, 0.897, 0.01}, {"K Cl", 3, 0.569, 0.937, 0.01},
		{"Li Cl", 1, 0.774, 1.018, 0.01}, {"Cs Cl", 1, 0.544, 0.857, 0.01}, {"NH4 Cl", 1, 0.603, 0.897, 0.01},
		{"Na Br", 1, 0.687, 0.958, 0.01}, {"K Br", 1, 0.617, 0.907, 0.01}, {"Na NO3", 1, 0.548, 0.851, 0.01}, {"K NO3", 1, 0.443, 0.756, 0.01},
		{"Na OH", 0.5, 0.690, 0.937, 0.01}, {"Na OH", 1, 0.678, 0.958, 0.01}, {"K OH", 1, 0.756, 1.002, 0.01},
		{"Na ClO4", 1, 0.629, 0.913, 0.01}, {"H NO3", 1, 0.724, 0.985, 0.01},
		{"Na H2PO4", 0.1, 0.744, 0.911, 0.01}, {"Na H2PO4", 1, 0.468, 0.782, 0.01}, {"K H2PO4", 0.5, 0.529, 0.798, 0.01}, {"K H2PO4", 1, 0.421, 0.736, 0.01},
		{"Na acetate", 0.1, 0.791, 0.940, 0.01}, {"Na acetate", 1, 0.757, 1.004, 0.01}, {"K acetate", 1, 0.783, 1.022, 0.01},
		{"Na2 SO4", 0.1, 0.445, 0.793, 0.01}, {"Na2 SO4", 1, 0.201, 0.642, 0.01},
		{"Mg Cl2", 0.1, 0.529, 0.861, 0.01}, {"Mg Cl2", 1, 0.570, 1.108, 0.01}, {"Ca Cl2", 0.1, 0.518, 0.854, 0.01}, {"Ca Cl2", 1, 0.500, 1.046, 0.01},
		// Relative to 0.1 mol/kg there, where 0.150 was assumed.
		{"Mg SO4", 0.1, 0.150, 0.606, 0.06}, {"Mg SO4", 1, 0.0485, 0.525, 0.07},
	} {
		parts := map[string]float64{}
		for name := range strings.FieldsSeq(tc.salt) {
			n := 1.0
			if bare := strings.TrimSuffix(name, "2"); bare != name {
				name, n = bare, 2
			}
			parts[name] = n
		}
		lg, phi := meanLog(25, tc.m, parts)
		assert.InDelta(t, math.Log10(tc.gamma), lg, tc.within, "%s %g m", tc.salt, tc.m)
		assert.InDelta(t, tc.phi, phi, 0.012, "%s %g m: osmotic coefficient", tc.salt, tc.m)
	}
}

// HCl at other temperatures: H. S. Harned & B. B. Owen, The Physical Chemistry
// of Electrolytic Solutions, 3rd ed. (Reinhold 1958), table 11-4-1A, from memory.
func TestMeanActivityCoefficientsAtOtherTemperatures(t *testing.T) {
	for _, tc := range []struct {
		t     float64
		m     float64
		gamma float64
	}{{0, 0.1, 0.8027}, {0, 1, 0.8419}, {50, 0.1, 0.7850}, {50, 1, 0.7697}} {
		lg, _ := meanLog(tc.t, tc.m, map[string]float64{"H": 1, "Cl": 1})
		assert.InDelta(t, math.Log10(tc.gamma), lg, 0.01, "%g °C %g m", tc.t, tc.m)
	}
}

// pitzerIntegral is J by its definition: K. S. Pitzer, J. Solution Chem. 4,
// 249 (1975), eq. 46, with Simpson's rule.
func pitzerIntegral(x float64) float64 {
	f := func(y float64) float64 { return (1 - math.Exp(-x/y*math.Exp(-y))) * y * y }
	const n, top = 40000, 60.0
	h := top / n
	sum := f(1e-12) + f(top)
	for i := 1; i < n; i++ {
		sum += float64(2+2*(i%2)) * f(h*float64(i))
	}
	return x/4 - 1 + sum*h/3/x
}

func TestUnsymmetricalMixingAgainstTheIntegral(t *testing.T) {
	for _, x := range []float64{0.03, 0.1, 0.6, 0.99, 1.01, 3, 12, 60} {
		j, xj := pitzerJ(x)
		require.InEpsilon(t, pitzerIntegral(x), j, 1e-5, "x = %g", x)
		up, _ := pitzerJ(x * 1.0001)
		down, _ := pitzerJ(x * 0.9999)
		require.InEpsilon(t, (up-down)/2e-4, xj, 1e-5, "x = %g", x)
	}
	const a = 0.3915
	for _, i := range []float64{0.003, 0.1, 1, 5} {
		for _, z := range [][2]int{{1, 2}, {1, 3}, {2, 3}, {1, 4}} {
			bracket := func(i float64) float64 {
				x := func(z, y int) float64 { return pitzerIntegral(6 * float64(z*y) * a * math.Sqrt(i)) }
				k := float64(z[0] * z[1])
				return k / (4 * i) * (x(z[0], z[1]) - x(z[0], z[0])/2 - x(z[1], z[1])/2)
			}
			var e, ep [mixingKinds]float64
			kind := mixingKind(z[0], z[1])
			mixings().mixing(a*math.Sqrt(i), i, []uint8{kind}, &e, &ep)
			require.InEpsilon(t, bracket(i), e[kind], 2e-5, "%v at %g", z, i)
			require.InEpsilon(t, (bracket(i*1.001)-bracket(i*0.999))/(0.002*i), ep[kind], 1e-3, "%v at %g", z, i)
		}
	}
}

// plainPitzer is ln γ of one ion by the book, term by term and with sums over
// all ions: Pitzer 1991, ch. 3, eqs. 63 and 64.
func (a *Set) plainPitzer(m *[MaxLocal]float64, k int) float64 {
	i, z := 0.0, 0.0
	for j := range a.N {
		i += m[j] * a.Z[j] * a.Z[j] / 2
		z += m[j] * math.Abs(a.Z[j])
	}
	root := math.Sqrt(i)
	alpha := func(x *pairAt) float64 {
		if x.kind == attracting2 {
			return 1.4
		}
		return 2
	}
	g := func(x float64) float64 { return 2 * (1 - (1+x)*math.Exp(-x)) / (x * x) }
	gp := func(x float64) float64 { return -2 * (1 - (1+x+x*x/2)*math.Exp(-x)) / (x * x) }
	b2 := func(i, j int, g func(float64) float64) float64 {
		for _, c := range a.close {
			if c.i == i && c.j == j || c.i == j && c.j == i {
				return c.b2 * g(map[bool]float64{true: 12, false: 30}[a.Z[i]*a.Z[j] == -4 && a.Z[i]*a.Z[i] == 4]*root)
			}
		}
		return 0
	}
	var e, ep [mixingKinds]float64
	mixings().mixing(a.aPhi*root, i, a.kinds, &e, &ep)
	f := -a.aPhi * (root/(1+1.2*root) + 2/1.2*math.Log(1+1.2*root))
	cc := 0.0
	for p := range a.N {
		for q := range p {
			x := &a.pair[p*a.N+q]
			if a.Z[p]*a.Z[q] < 0 {
				al := alpha(x)
				f += m[p] * m[q] * (x.b1*gp(al*root) + b2(p, q, gp)) / i
				cc += m[p] * m[q] * x.c
			} else if a.Z[p]*a.Z[q] > 0 {
				f += m[p] * m[q] * ep[x.mix]
			}
		}
	}
	ln := a.Z[k]*a.Z[k]*f + math.Abs(a.Z[k])*cc
	for j := range a.N {
		x := &a.pair[k*a.N+j]
		switch {
		case a.Z[k]*a.Z[j] < 0:
			ln += m[j] * (2*(x.b0+x.b1*g(alpha(x)*root)+b2(k, j, g)) + z*x.c)
		case j != k || a.Z[k] == 0:
			ln += 2 * m[j] * (x.b0 + e[x.mix])
		}
	}
	for _, with := range a.triple {
		for _, t := range with.of {
			switch k {
			case t.i:
				ln += m[t.j] * m[t.k] * t.v
			case t.j:
				ln += m[t.i] * m[t.k] * t.v
			case t.k:
				ln += m[t.i] * m[t.j] * t.v
			}
		}
	}
	return ln
}

// The fast sums agree with the plain ones, in random mixtures of everything.
func TestPitzerAgainstThePlainSums(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 3))
	for n := range 100 {
		var rows []int
		for range 6 {
			rows = append(rows, r.IntN(len(Ions().Rows)))
		}
		t25 := 5 + 50*r.Float64()
		a := New(Water{t25 + 273.15, slopeAt(t25)}, rows)
		var m, ln, part [MaxLocal]float64
		for k := range a.N {
			if r.IntN(2) == 0 {
				m[k] = math.Pow(10, -3+2.7*r.Float64())
			}
		}
		var f Field
		strength, _ := a.Coefficients(&f, &m, &ln, true)
		if strength > StrengthLimit {
			continue
		}
		d := a.plainPitzer(&m, a.Cl) + 3*a.aPhi*math.Sqrt(strength)/(1+1.5*math.Sqrt(strength))
		a.Coefficients(&f, &m, &part, false)
		for k := range a.N {
			require.InDelta(t, a.plainPitzer(&m, k)+a.Z[k]*d, ln[k], 1e-6, "mixture %d, %s", n, Ions().Rows[a.Row[k]].Name)
		}
		for k := range a.Wanted {
			require.InDelta(t, ln[k], part[k], 1e-12)
		}
		// Bates and Guggenheim, whatever else is there.
		root := math.Sqrt(strength)
		require.InDelta(t, -3*a.aPhi*root/(1+1.5*root), ln[a.Cl], 1e-12)
	}
}

func TestDamagedActivityTables(t *testing.T) {
	const head = "kind,first,second,third,beta0,beta1,beta2,cphi,value,law,source,by,note\n"
	read := func(row string) error {
		_, err := readParameters(head+row, Ions())
		return err
	}
	require.NoError(t, read("ca,Na,Cl,,0.07,0.2,,0.001,,b0 1 2 3,a book,seen,\n"))
	for _, row := range []string{
		"ca,Na,Cl,,0.07,0.2,,0.001,,,,seen,\n",
		"ca,Na,Cl,,0.07,0.2,,0.001,,,a book,,\n",
		"ca,Na,K,,0.07,0.2,,0.001,,,a book,seen,\n",
		"ca,Na,Xx,,0.07,0.2,,0.001,,,a book,seen,\n",
		"ca,Na,Cl,,much,0.2,,0.001,,,a book,seen,\n",
		"ca,Na,Cl,,0.07,0.2,,0.001,,b0 1,a book,seen,\n",
		"psi,Na,Cl,,,,,,0.1,,a book,seen,\n",
		"pair,Na,Cl,,,,,,0.1,,a book,seen,\n",
	} {
		require.Error(t, read(row), row)
	}
	const ionHead = "ion,charge,like,strong,source,note,disputed\n"
	_, err := readIons(ionHead + "Na,1,,yes,fact,,\nK,1,Na,yes,fact,,\n")
	require.NoError(t, err)
	for _, row := range []string{"Na,one,,yes,fact,,\n", "Na,1,,yes,,,\n", "Na,1,Cl,yes,fact,,\n", ",1,,yes,fact,,\n", "Na,1,,yes,fact,,much\n"} {
		_, err := readIons(ionHead + row)
		require.Error(t, err, row)
	}
}

// No order of ions or of systems may change a coefficient.
func TestPairsHaveNoOrder(t *testing.T) {
	p, tab := allParameters(), Ions()
	for i := range tab.Rows {
		for j := range i {
			require.Equal(t, p.pair[i][j], p.pair[j][i], "%s and %s", tab.Rows[i].Name, tab.Rows[j].Name)
		}
	}
}

// Up to 6 mol/kg NaCl follows its data, γ± 0.986 at 6 (R. A. Robinson & R. H. Stokes, appendix 8.10, from
// memory), and beyond, where nothing was fitted, it is held: 9 mol/kg, which nobody can dissolve, has what
// 6 has. So is Davies' term from 0.5 on, where it is √0.5/(1 + √0.5) − 0.15 = 0.2642.
func TestWhereCoefficientsAreHeld(t *testing.T) {
	nacl := map[string]float64{"Na": 1, "Cl": 1}
	six, _ := meanLog(25, 6, nacl)
	assert.InDelta(t, math.Log10(0.986), six, 0.01)
	nine, _ := meanLog(25, 9, nacl)
	assert.InDelta(t, six, nine, 1e-6)
	five, _ := meanLog(25, 5, nacl)
	assert.Greater(t, six-five, 0.03)
	assert.InDelta(t, 0.2642, Davies(0.5), 1e-4)
	assert.InDelta(t, 0.2642, Davies(2), 1e-4)
}
