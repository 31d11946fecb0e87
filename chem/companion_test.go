package chem_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem"
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
// systems, with conditional constants at ionic strength i: coefficients by
// rising power of a(H⁺)/unit. It shares nothing with the solver but the activity
// coefficients.
func (x mixture) polynomial(i, unit float64) []float64 {
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
	g1 := 1 / x.model.Gamma(1, i)
	kw := math.Pow(10, -chem.WaterPK(25))
	sum := []float64{-kw * g1 / unit, x.comp.Charge, g1 * unit}
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
			w := beta * x.model.Gamma(s.Charge, i) / x.model.Gamma(z, i)
			d[steps-j] = w
			up[steps-j] = w * float64(z) * x.comp.Totals[n]
		}
		sum = plus(times(sum, d), times([]float64{0, 1}, times(den, up)))
		den = times(den, d)
	}
	return sum
}

// companionPH is the pH from the one positive real eigenvalue of the
// companion matrix of the charge balance polynomial.
func (x mixture) companionPH(i float64) (float64, error) {
	const unit = 1e-7
	p := x.polynomial(i, unit)
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

// companionSolve adds the ionic strength as an outer fixed point.
func (x mixture) companionSolve() (float64, error) {
	i := x.comp.Strength / 2
	ph := 0.0
	for range 60 {
		next, err := x.companionPH(i)
		if err != nil {
			return 0, err
		}
		if math.Abs(next-ph) < 1e-9 {
			return next, nil
		}
		ph, i = next, x.strengthAt(next, i)
	}
	return ph, nil
}

// strengthAt is ½ Σ z²m at a pH with the activity coefficients of i.
func (x mixture) strengthAt(ph, i float64) float64 {
	h := math.Pow(10, -ph)
	g1 := 1 / x.model.Gamma(1, i)
	sum := x.comp.Strength + g1*(h+math.Pow(10, -chem.WaterPK(25))/h)
	for n, s := range x.sys {
		w, d, up := 1.0, 0.0, 0.0
		for j := 0; j <= len(s.Steps); j++ {
			z := s.Charge - j
			if j > 0 {
				w *= math.Pow(10, -s.Steps[j-1].PK) / h
			}
			v := w / x.model.Gamma(z, i)
			d += v
			up += v * float64(z*z)
		}
		sum += x.comp.Totals[n] * up / d
	}
	return sum / 2
}

func TestAgainstTheCompanionMatrix(t *testing.T) {
	r := rand.New(rand.NewPCG(20, 1))
	worst := 0.0
	for k := range 200 {
		for _, opts := range [][]chem.Option{nil, {chem.Ideal}} {
			x := randomMixture(r, opts...)
			e, err := x.model.Solve(&x.comp)
			require.NoError(t, err)
			want, err := x.companionPH(e.Strength)
			require.NoError(t, err, "mixture %d", k)
			require.InDelta(t, want, e.PH, 1e-8, "mixture %d", k)
			require.InEpsilon(t, x.strengthAt(e.PH, e.Strength), e.Strength, 1e-9, "mixture %d", k)
			worst = math.Max(worst, math.Abs(want-e.PH))
		}
	}
	t.Logf("largest difference %.1e pH over 400 mixtures", worst)
}
