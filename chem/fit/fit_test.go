package fit_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/optimize"
)

// titrated is a curve of the project's own model, which fits with activities
// and true polyprotic systems: independent of the fit's description of it.
func titrated(t *testing.T, reagent string, mmol, sampleML float64, titrant string, molar, toML float64, n int, noise float64, seed uint64) []fit.Point {
	t.Helper()
	r, err := table.ByAmount(reagent)
	require.NoError(t, err)
	x, err := table.ByAmount(titrant)
	require.NoError(t, err)
	beaker := chem.Mix(chem.Solution{Volume: chem.Volume(sampleML) * chem.Millilitre, Temp: 25}, r.Dissolved(chem.Amount(mmol)*chem.Millimole).At(25))
	rnd := rand.New(rand.NewPCG(seed, 9))
	var out []fit.Point
	for i := range n {
		ml := toML * float64(i) / float64(n-1)
		given := chem.Mix(chem.Solution{Volume: chem.Volume(ml) * chem.Millilitre, Temp: 25}, x.Dissolved(chem.Amount(molar*ml)*chem.Millimole).At(25))
		d, err := solved.Describe(chem.Mix(beaker, given).At(25))
		require.NoError(t, err)
		out = append(out, fit.Point{ML: ml, PH: math.Round(100*(float64(d.PH)+noise*rnd.NormFloat64())) / 100})
	}
	return out
}

func TestFitFindsWhatWasTitrated(t *testing.T) {
	for _, c := range []struct {
		reagent, titrant string
		mmol, molar, to  float64
		pk               []float64 // thermodynamic, of the tables; the fit's are apparent
		ends             []float64 // mL
	}{
		{"acetic acid", "NaOH", 2.5, 0.1, 40, []float64{4.756}, []float64{25}},
		{"Tris", "HCl", 2.0, 0.1, 32, []float64{8.07}, []float64{20}},
		{"MES", "NaOH", 1.5, 0.1, 24, []float64{6.27}, []float64{15}},
		{"phosphoric acid", "NaOH", 1.1, 0.1, 27, []float64{2.148, 7.198}, []float64{11, 22}},
	} {
		p := titrated(t, c.reagent, c.mmol, 50, c.titrant, c.molar, c.to, 60, 0.01, 3)
		f, err := fit.Curve(p, fit.Options{SampleML: 50, Molar: c.molar})
		require.NoError(t, err)
		t.Logf("%s: %+v ends %v rms %.3f", c.reagent, f.Sites, f.Ends, f.RMSPH)
		assert.Less(t, f.RMSPH, 0.06, c.reagent)
		for _, want := range c.ends {
			assert.True(t, near(f.Ends, want, 0.02*want), "%s: an end at %g mL among %v", c.reagent, want, f.Ends)
		}
		for _, want := range c.pk {
			found := false
			for _, s := range f.Sites {
				// Apparent constants of monovalent acids lie about 0.1, of
				// divalent ones about 0.3 below at this ionic strength.
				found = found || math.Abs(s.PK.Value-want) < 0.45 && math.Abs(s.MMol.Value-c.mmol) < 0.05*c.mmol+2*s.MMol.SD
			}
			assert.True(t, found, "%s: pK near %.2f with %.2f mmol among %+v", c.reagent, want, c.mmol, f.Sites)
		}
	}
}

func near(list []fit.Value, want, by float64) bool {
	for _, v := range list {
		if math.Abs(v.Value-want) <= by {
			return true
		}
	}
	return false
}

// A titrant of unknown strength: its own excess beyond the end tells it.
func TestFitFindsTheStrength(t *testing.T) {
	p := titrated(t, "acetic acid", 2.5, 50, "NaOH", 0.125, 36, 70, 0.005, 4)
	f, err := fit.Curve(p, fit.Options{SampleML: 50})
	require.NoError(t, err)
	t.Logf("%+v", f)
	assert.InDelta(t, 0.125, f.Molar.Value, 0.015)
	assert.Less(t, math.Abs(f.Molar.Value-0.125), 4*f.Molar.SD+0.008)
	assert.True(t, near(f.Ends, 20, 0.3), "%v", f.Ends)
}

// The same curve fitted by a general optimiser in pH gives the same constant.
func TestFitAgreesWithAGeneralOptimiser(t *testing.T) {
	p := titrated(t, "acetic acid", 2.5, 50, "NaOH", 0.1, 40, 50, 0.01, 5)
	f, err := fit.Curve(p, fit.Options{SampleML: 50, Molar: 0.1, MaxSites: 1})
	require.NoError(t, err)
	require.Len(t, f.Sites, 1)
	r, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
		s := 0.0
		for _, q := range p {
			d := q.PH + x[2] - oneAcid(x[0], x[1]*1e-3, 0.1, 50, q.ML)
			s += math.Min(d*d, 1)
		}
		return s + x[2]*x[2]/(0.15*0.15)*1e-3
	}}, []float64{5, 2.4, 0}, &optimize.Settings{FuncEvaluations: 4000}, &optimize.NelderMead{})
	require.NoError(t, err)
	// A shift of the meter moves the constant with it: on the scale of the
	// meter both must agree.
	assert.InDelta(t, r.X[0]-r.X[2], f.Sites[0].PK.Value-f.Shift.Value, 0.02, "pK")
	assert.InDelta(t, r.X[1], f.Sites[0].MMol.Value, 0.03, "mmol")
}

// oneAcid is the pH of an acid with a strong base, ideal, by halving.
func oneAcid(pk, mol, molar, sampleML, ml float64) float64 {
	lo, hi, v := 0.0, 14.0, (sampleML+ml)/1e3
	for range 60 {
		ph := (lo + hi) / 2
		h := math.Pow(10, -ph)
		if molar*ml/1e3+(h-1e-14/h)*v-mol/(1+math.Pow(10, pk-ph)) > 0 {
			lo = ph
		} else {
			hi = ph
		}
	}
	return (lo + hi) / 2
}

func TestFitNeedsPoints(t *testing.T) {
	_, err := fit.Curve([]fit.Point{{ML: 0, PH: 3}, {ML: 1, PH: 4}}, fit.Options{})
	assert.ErrorIs(t, err, fit.ErrFewPoints)
}

// A log that runs on, with many readings of little noise, was refused as going up and
// down, and what was not refused took minutes.
func TestManyReadingsAreOneCurve(t *testing.T) {
	p := titrated(t, "acetic acid", 5, 50, "NaOH", 0.1, 60, 12000, 0.01, 5)
	f, err := fit.Curve(p, fit.Options{SampleML: 50, Molar: 0.1})
	require.NoError(t, err)
	assert.Equal(t, 12000, f.Points)
	require.Len(t, f.Ends, 1)
	assert.InDelta(t, 50, f.Ends[0].Value, 0.05)
	assert.InDelta(t, 50, f.Ends[0].Value, 2*f.Ends[0].SD)
}

// Along a curve the ionic strength grows, and the constants of phosphoric acid fall. Taken
// for constant they made its first point come half a per cent early (measured on curves
// of the project's model and on ones of a Davies model of somebody else's making).
func TestConstantsThatFallAlongACurve(t *testing.T) {
	for seed := range uint64(4) {
		p := titrated(t, "phosphoric acid", 1.1, 25, "NaOH", 0.1, 27, 110, 0.003, seed)
		f, err := fit.Curve(p, fit.Options{SampleML: 25, Molar: 0.1})
		require.NoError(t, err)
		for _, want := range []float64{11, 22} {
			assert.True(t, near(f.Ends, want, 0.0025*want), "an end at %g mL among %v", want, f.Ends)
		}
	}
}

// A program is given no figure that its spread makes say nothing, and none that is no
// number: null and why.
func TestResultInJSON(t *testing.T) {
	r := fit.Result{Points: 20, Molar: fit.Value{Value: 0.1}, Excess: fit.Value{Value: -0.2, SD: 0.56},
		Sites: []fit.Site{
			{PK: fit.Value{Value: 4.76, SD: 0.02}, MMol: fit.Value{Value: 2.5, SD: 0.02}, ML: fit.Value{Value: 25, SD: 0.03}},
			{PK: fit.Value{Value: 11.0, SD: 3.5}, MMol: fit.Value{Value: 0.28, SD: 0.63}, ML: fit.Value{Value: math.Inf(1), SD: math.NaN()}},
		},
		Shift: fit.Value{Value: 0.01, SD: 0.15}, Ends: []fit.Value{{Value: 25, SD: 0.02}}, SampleML: 50, SampleSD: 50}
	b, err := json.Marshal(&r)
	require.NoError(t, err)
	assert.JSONEq(t, `{"points":20,"acid":false,"molar":{"value":0.1,"sd":0},
		"excess_mmol":{"value":null,"sd":0.56,"why":"its spread is as large as its value or larger"},
		"sites":[
			{"pk":{"value":4.76,"sd":0.02},"mmol":{"value":2.5,"sd":0.02},"titrant_ml":{"value":25,"sd":0.03}},
			{"pk":{"value":null,"sd":3.5,"why":"its spread is one pH or more"},
			 "mmol":{"value":null,"sd":0.63,"why":"its spread is as large as its value or larger"},
			 "titrant_ml":{"value":null,"sd":null,"why":"the curve gives no number"}}],
		"ph_shift":{"value":0.01,"sd":0.15},"equivalence_ml":[{"value":25,"sd":0.02}],"rms_ph":0,"left_ph":0,
		"sample_ml":null,"sample_ml_sd":50,"sample_ml_why":"not given: the spreads hold from half of the usual 50 mL to twice as much"}`, string(b))
}
