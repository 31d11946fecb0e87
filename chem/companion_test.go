package chem_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/thermo"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// mixture is a random solution: systems with their constants, amounts per kg
// of water and a charge of spectators.
type mixture struct {
	model *chem.Model
	sys   []*chem.System
	comp  chem.Composition
}

// randomMixture has up to four systems of one to three steps, 1 µmol/kg to
// 0.5 mol/kg, and a spectator charge that puts its pH anywhere.
func randomMixture(r *rand.Rand, opts ...chem.Option) mixture {
	var x mixture
	x.comp.Water = 1
	lo, hi := -1e-3, 1e-3
	for i := range 1 + r.IntN(4) {
		s := &chem.System{Name: fmt.Sprint("system ", i), Charge: r.IntN(3) - 1}
		pk := 1 + 5*r.Float64()
		for range 1 + r.IntN(3) {
			s.Steps = append(s.Steps, chem.Step{PK: pk})
			pk += 0.5 + 4*r.Float64()
		}
		n := math.Pow(10, -6+5.7*r.Float64())
		lo -= n * float64(s.Charge)
		hi -= n * float64(s.Charge-len(s.Steps))
		x.sys = append(x.sys, s)
		x.comp.Totals[i] = n
	}
	x.comp.Charge = lo + (hi-lo)*r.Float64()
	x.comp.Strength = math.Abs(x.comp.Charge) + 0.1*r.Float64()
	var err error
	x.model, err = chem.NewModel(25, x.sys, opts...)
	if err != nil {
		panic(err)
	}
	return x
}

// polynomial is the charge balance times a(H⁺) and the denominators of all
// systems, with the conditional constants of a medium: coefficients by rising
// power of a(H⁺)/unit. It shares nothing with the solver but the activity
// coefficients.
func (x mixture) polynomial(md *chem.Medium, unit float64) []float64 {
	times := func(a, b []float64) []float64 {
		out := make([]float64, len(a)+len(b)-1)
		for j := range a {
			for k := range b {
				out[j+k] += a[j] * b[k]
			}
		}
		return out
	}
	plus := func(a, b []float64) []float64 {
		if len(a) < len(b) {
			a, b = b, a
		}
		out := append([]float64(nil), a...)
		for j := range b {
			out[j] += b[j]
		}
		return out
	}
	kw := math.Pow(10, -thermo.WaterPK(thermo.Ref)) * md.WaterActivity()
	sum := []float64{-kw / x.model.Gamma("OH", md) / unit, x.comp.Charge, unit / x.model.Gamma("H", md)}
	den := []float64{1}
	for n, s := range x.sys {
		steps := len(s.Steps)
		d, up := make([]float64, steps+1), make([]float64, steps+1)
		beta := 1.0
		for j := 0; j <= steps; j++ {
			z := s.Charge - j
			if j > 0 {
				beta *= math.Pow(10, -s.Steps[j-1].PK) / unit
			}
			w := beta * x.gamma(s.Charge, md) / x.gamma(z, md)
			d[steps-j] = w
			up[steps-j] = w * float64(z) * x.comp.Totals[n]
		}
		sum = plus(times(sum, d), times([]float64{0, 1}, times(den, up)))
		den = times(den, d)
	}
	return sum
}

// gamma is the activity coefficient of a form without a name of its own.
func (x mixture) gamma(charge int, md *chem.Medium) float64 {
	name := map[int]string{1: "ammonium", -1: "carboxylate", -2: "anion2", -3: "anion3", -4: "anion4"}[charge]
	if name == "" {
		return 1
	}
	return x.model.Gamma(name, md)
}

// companionPH is the pH from the one positive real eigenvalue of the
// companion matrix of the charge balance polynomial.
func (x mixture) companionPH(md *chem.Medium) (float64, error) {
	const unit = 1e-7
	p := x.polynomial(md, unit)
	n := len(p) - 1
	a := mat.NewDense(n, n, nil)
	for k := range n {
		a.Set(k, n-1, -p[k]/p[n])
		if k > 0 {
			a.Set(k, k-1, 1)
		}
	}
	var e mat.Eigen
	if !e.Factorize(a, mat.EigenNone) {
		return 0, fmt.Errorf("no eigenvalues")
	}
	best := math.NaN()
	for _, v := range e.Values(nil) {
		if real(v) > 0 && math.Abs(imag(v)) < 1e-9*real(v) {
			if !math.IsNaN(best) {
				return 0, fmt.Errorf("two positive roots")
			}
			best = -math.Log10(real(v) * unit)
		}
	}
	return best, nil
}

// companionSolve lets the medium follow the root, as an outer fixed point.
func (x mixture) companionSolve() (float64, error) {
	var md chem.Medium
	ph := 7.0
	for range 60 {
		x.model.BalanceIn(ph, &md, &x.comp)
		next, err := x.companionPH(&md)
		if err != nil {
			return 0, err
		}
		if math.Abs(next-ph) < 1e-9 {
			return next, nil
		}
		ph = next
	}
	return ph, nil
}

func TestAgainstTheCompanionMatrix(t *testing.T) {
	r := rand.New(rand.NewPCG(20, 1))
	worst := 0.0
	for k := range 200 {
		for _, opts := range [][]chem.Option{nil, {chem.Ideal}} {
			x := randomMixture(r, opts...)
			e, err := x.model.Solve(&x.comp)
			require.NoError(t, err)
			want, err := x.companionSolve()
			require.NoError(t, err, "mixture %d", k)
			require.InDelta(t, want, e.PH, 1e-7, "mixture %d", k)
			worst = math.Max(worst, math.Abs(want-e.PH))
		}
	}
	t.Logf("largest difference %.1e pH over 400 mixtures", worst)
}
