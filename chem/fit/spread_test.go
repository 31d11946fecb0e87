package fit_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
)

// flask is a sample and a titrant as a textbook has them, and shares no code with the
// fit: the charge balance of acids with several constants and activities by Davies
// (A = 0.509; C. W. Davies, J. Chem. Soc. 1938, 2093: from memory), solved by halving.
type flask struct {
	pk       []float64 // at no ionic strength
	charge   float64   // of the acid with all of its protons
	mmol, ml float64
	ions     float64 // mmol of the strong base (above 0) or acid that is in it
	molar    float64 // of the titrant, below 0 an acid
	co3      float64 // of the base: mol of carbonate per mol
	leaves   float64 // share of the acid set free that leaves the beaker as a gas
}

func (f *flask) ph(v float64) float64 {
	ionic, out := 0.01, 7.0
	for range 12 {
		root := math.Sqrt(ionic)
		lg := -0.509 * (root/(1+root) - 0.3*ionic) // of one charge
		lo, hi := -1.0, 15.0
		for range 60 {
			out = (lo + hi) / 2
			if q, _ := f.balance(v, out, lg); q > 0 {
				lo = out
			} else {
				hi = out
			}
		}
		_, ionic = f.balance(v, out, lg)
		ionic = math.Min(ionic, 1)
	}
	return out
}

// balance is the charge and the ionic strength at a pH, both per litre.
func (f *flask) balance(v, ph, lg float64) (charge, ionic float64) {
	litres := (f.ml + v) / 1e3
	base := f.ions/1e3 + f.molar*v/1e3 // mol of cations above 0, of anions below
	h, oh := math.Pow(10, -ph-lg), math.Pow(10, ph-13.995-lg)
	charge = base/litres + h - oh
	ionic = math.Abs(f.molar*v/1e3)/litres + math.Abs(f.ions/1e3)/litres + h + oh
	steps := func(pk []float64, z0, mol float64) {
		weight, sum, z, squares := 1.0, 1.0, z0, z0*z0
		total := z0
		for _, k := range pk {
			// K' = K γ(z) / (γ(z−1) γ(H)) and H is concentration here.
			at := k - lg*(z*z-(z-1)*(z-1)-1)
			weight *= math.Pow(10, -at) / h
			z--
			sum += weight
			total += z * weight
			squares += z * z * weight
		}
		charge += mol / litres * total / sum
		ionic += mol / litres * squares / sum
	}
	steps(f.pk, f.charge, (f.mmol-f.leaves*math.Min(math.Abs(f.molar)*v, f.mmol))/1e3)
	if f.co3 > 0 {
		mol := f.co3 * f.molar * v / 1e3
		charge += 2 * mol / litres
		ionic += 2 * mol / litres
		steps([]float64{6.352, 10.329}, 0, mol)
	}
	return charge, ionic / 2
}

// log is a titration as somebody writes it down: a meter of its own scale and slope,
// readings with noise, a burette with errors, two or three decimals.
func (f *flask) log(r *rand.Rand, to float64, n int) []fit.Point {
	shift, slope, noise, slip := 0.05*r.NormFloat64(), 1+0.012*r.NormFloat64(), 0.003+0.015*r.Float64(), 0.0015*to*r.Float64()
	var out []fit.Point
	for i := range n {
		v := math.Round(1e3*to*float64(i)/float64(n-1)) / 1e3
		given := v
		if i > 0 {
			given += slip * r.NormFloat64()
		}
		out = append(out, fit.Point{ML: v, PH: math.Round(100*(7+shift+slope*(f.ph(given)-7)+noise*r.NormFloat64())) / 100})
	}
	return out
}

// A base of some weeks, one mol of carbonate in a hundred: the errors of its equivalence
// points are no larger than their spreads. Without the doubt of its age they were 1.7 times that.
func TestAnOldBase(t *testing.T) {
	sum := 0.0
	const runs = 30
	for i := range runs {
		r := rand.New(rand.NewPCG(3000+uint64(i), 60))
		end := 5 + 15*r.Float64()
		x := flask{pk: []float64{4.756}, molar: 0.1, co3: 0.01, ml: 50, mmol: 0.1 * end}
		got, err := fit.Curve(x.log(r, 1.3*end, 60), fit.Options{SampleML: 50, Molar: 0.1})
		require.NoError(t, err)
		least := math.Inf(1)
		for _, v := range got.Ends {
			least = math.Min(least, math.Abs(v.Value-end/1.01)/v.SD)
		}
		sum += least * least / runs
	}
	t.Logf("root mean square of error by spread %.2f", math.Sqrt(sum))
	assert.InDelta(t, 0.8, math.Sqrt(sum), 0.2)
}

// Of the equivalence points of curves of many kinds about 95 in a hundred lie within two
// spreads of where the amounts put them, by curves with few rows as by those with many.
// HALFDROP_RUNS is how many of each are done instead.
func TestSpreadsOfEquivalencePoints(t *testing.T) {
	runs, err := strconv.Atoi(os.Getenv("HALFDROP_RUNS"))
	if err != nil {
		runs = 3
	}
	seed, _ := strconv.ParseUint(os.Getenv("HALFDROP_SEED"), 10, 64)
	only := os.Getenv("HALFDROP_KIND") // of the curves; all where it is not said
	inside, all := 0, 0
	for name, f := range map[string]func(r *rand.Rand) (flask, []float64){
		"acetic": func(r *rand.Rand) (flask, []float64) { return flask{pk: []float64{4.756}, molar: 0.1}, []float64{1} },
		"strong": func(r *rand.Rand) (flask, []float64) { return flask{molar: 0.1, ions: -1}, []float64{0} },
		"phosphoric": func(r *rand.Rand) (flask, []float64) {
			return flask{pk: []float64{2.148, 7.198, 12.35}, molar: 0.1}, []float64{1, 2}
		},
		"citric": func(r *rand.Rand) (flask, []float64) {
			return flask{pk: []float64{3.128, 4.761, 6.396}, molar: 0.1}, []float64{3}
		},
		"tris": func(r *rand.Rand) (flask, []float64) {
			return flask{pk: []float64{8.07}, charge: 1, molar: -0.1}, []float64{1}
		},
		"bicarbonate": func(r *rand.Rand) (flask, []float64) {
			return flask{pk: []float64{6.352, 10.329}, molar: -0.1}, []float64{1}
		},
		"gas": func(r *rand.Rand) (flask, []float64) {
			return flask{pk: []float64{6.352, 10.329}, molar: -0.1, leaves: 0.5 * r.Float64()}, []float64{1}
		},
		"soda": func(r *rand.Rand) (flask, []float64) {
			return flask{pk: []float64{6.352, 10.329}, molar: -0.1}, []float64{1, 2}
		},
		"old base": func(r *rand.Rand) (flask, []float64) {
			return flask{pk: []float64{4.756}, molar: 0.1, co3: 0.01}, []float64{1}
		},
	} {
		if only != "" && name != only {
			continue
		}
		for _, n := range []int{11, 25, 60} {
			in, of, missed, rms := 0, 0, 0, 0.0
			var rel []float64
			for i := range runs {
				r := rand.New(rand.NewPCG(seed+uint64(i), uint64(n)))
				x, ends := f(r)
				x.ml = []float64{10, 25, 50, 100}[r.IntN(4)]
				end := 5 + 15*r.Float64() // mL
				x.molar *= math.Pow(10, 0.5*r.Float64()-0.3)
				mol := math.Abs(x.molar) * end
				x.mmol = mol
				points := []float64{}
				for _, e := range ends {
					points = append(points, e*end)
				}
				switch name {
				case "strong":
					x.ions, x.mmol, points = -mol, 0, []float64{end}
				case "old base": // pH 8 to 9: a proton for each carbonate
					points = []float64{end / (1 + x.co3)}
				case "bicarbonate", "gas":
					x.ions = mol
				case "soda":
					x.ions = 2 * mol
				}
				last := points[len(points)-1] * (1.2 + 0.3*r.Float64())
				got, err := fit.Curve(x.log(r, last, n), fit.Options{SampleML: x.ml, Molar: math.Abs(x.molar)})
				if err != nil {
					missed++
					continue
				}
				for _, want := range points {
					k := slices.IndexFunc(got.Ends, func(v fit.Value) bool { return math.Abs(v.Value-want) < math.Max(0.05*want, 3*v.SD) })
					if k < 0 {
						missed++
						continue
					}
					z := (got.Ends[k].Value - want) / got.Ends[k].SD
					rms += z * z
					of++
					rel = append(rel, got.Ends[k].SD/want*100)
					if math.Abs(z) <= 2 {
						in++
					}
				}
			}
			slices.Sort(rel)
			med := math.NaN()
			if len(rel) > 0 {
				med = rel[len(rel)/2]
			}
			t.Logf("%-12s %2d rows: %3d of %3d inside two spreads, z %.2f, spread %.2f %%, %d without", name, n, in, of, math.Sqrt(rms/float64(max(of, 1))), med, missed)
			inside, all = inside+in, all+of
		}
	}
	t.Logf("%d of %d, %.1f %%", inside, all, 100*float64(inside)/float64(all))
	require.Greater(t, all, 90)
	assert.Greater(t, float64(inside)/float64(all), 0.92)
}

// 50 mL of bicarbonate water with 0.1 N acid: 0.59 mL by the program of the course that
// recorded it (testdata/recordings/bicarbonate-gran). Fitted with the constants of carbonic
// acid the point lies at 0.602 to 0.604 mL (looked at on 26 November 2026, with an offset,
// with a slope, and with a constant that is free); carbon dioxide that leaves parts the two.
// The first of two readings at 0 mL had not settled.
func TestPointOfBicarbonateWater(t *testing.T) {
	var p []fit.Point
	for i, ph := range []float64{7.49, 7.05, 6.73, 6.37, 6.06, 5.64, 4.82, 3.81, 3.65, 3.53, 3.43} {
		p = append(p, fit.Point{ML: []float64{0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85}[i], PH: ph})
	}
	f, err := fit.Curve(p, fit.Options{SampleML: 50, Molar: 0.1})
	require.NoError(t, err)
	require.Len(t, f.Ends, 1)
	t.Logf("%+v, base %+v", f.Ends[0], f.Excess)
	assert.InDelta(t, 0.59, f.Ends[0].Value, 2*f.Ends[0].SD)
	assert.InDelta(t, 0.059, f.Excess.Value, 2*f.Excess.SD, "the base in it is what the acid takes")
	assert.Less(t, f.Ends[0].SD, 0.03)
}

// The slope of a meter moves the point where strength and scale are taken as given, and the
// spread knows: a strong acid, read without noise, by a meter that is true and by one of
// 101 %.
func TestAnotherSlope(t *testing.T) {
	read := func(slope float64) fit.Value {
		x, p := flask{molar: 0.1, ions: -1, ml: 25}, []fit.Point{}
		for i := range 60 {
			v := 0.25 * float64(i)
			p = append(p, fit.Point{ML: v, PH: 7 + slope*(x.ph(v)-7)})
		}
		f, err := fit.Curve(p, fit.Options{SampleML: 25, Molar: 0.1})
		require.NoError(t, err)
		require.Len(t, f.Ends, 1)
		t.Logf("%g: %+v", slope, f.Ends[0])
		return f.Ends[0]
	}
	right, off := read(1), read(1.01)
	assert.InDelta(t, 10, off.Value, 2*off.SD)
	assert.InDelta(t, 1, right.SD/math.Abs(off.Value-right.Value), 0.4, "one spread is what one per cent of slope does")
}
