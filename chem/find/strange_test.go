package find_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
)

// strange is a kind of log by other people, with a meter of which nobody knows how well
// it was calibrated.
type strange struct {
	reagent, titrant string
	acids            []acid
	ions             float64 // strong charge a mole of the sample brings
	mmol, ml         float64
	points           []float64 // mol of titrant a mole of sample at each equivalence point
	carbon           []float64 // of the carbonate in the base, what counts there beside its strength
}

// Spreads of a log of which nobody says how it was made, as halfdrop replay --of has them.
const (
	strangeShift, strangeSlope, strangeBend = 0.4, 0.1, 0.1
	strangeLate                             = 0.1 // of a step that is left open at most, in the whole log alike
	strangeMolar                            = 0.1
)

// log draws one: volumes in the two steps that people take, read off a burette, and pH to
// two digits that always lags a little. The equivalence volumes are by stoichiometry.
func (k *strange) log(seed uint64) (dots []find.Dot, moles, readML float64, want []float64) {
	r := rand.New(rand.NewPCG(seed, 991))
	moles = k.mmol / 1e3 * math.Exp(0.3*r.NormFloat64())
	shift, slope, bend := strangeShift*r.NormFloat64(), strangeSlope*r.NormFloat64(), drawWave(r, strangeBend)
	carbon, size := 0.0, 1+0.001*r.NormFloat64()
	if k.titrant == "NaOH" {
		carbon = math.Abs(0.005 + 0.005*r.NormFloat64())
	}
	for i, p := range k.points {
		want = append(want, moles/strangeMolar*1e3*p/(1+k.carbon[i]*carbon)/size)
	}
	last := 1.3 * want[len(want)-1]
	readML = math.Max(0.005, math.Min(0.05, last/500))
	zero, late := readML*r.NormFloat64(), strangeLate*r.Float64()
	excess := 1e-5 * k.ml / 1e3 * r.NormFloat64()
	wide, narrow := []float64{0.5, 1, 2}[r.IntN(3)]*last/30, []float64{0.1, 0.2, 0.5}[r.IntN(3)]*last/30
	var dpk []float64
	for range 4 {
		dpk = append(dpk, r.NormFloat64())
	}
	y := math.NaN()
	for v := 0.0; v < last+wide; {
		given := math.Max(v*size+zero+readML*r.NormFloat64(), 0) / 1e3
		if v == 0 {
			given = 0
		}
		f := k.flask(moles, given, carbon, excess, dpk)
		ph := f.ph()
		if to := ph + shift + slope*(ph-7) + bend.at(ph); math.IsNaN(y) {
			y = to
		} else {
			y = to + late*(y-to)
		}
		dots = append(dots, find.Dot{ML: math.Round(50*v) / 50, PH: math.Round(100*(y+0.02*r.NormFloat64())) / 100})
		step := wide
		for _, w := range want {
			if math.Abs(v-w) < 0.06*w+0.1 {
				step = narrow
			}
		}
		v = math.Round(50*(v+math.Max(step, 0.02))) / 50
	}
	return dots, moles, readML, want
}

func (k *strange) flask(moles, given, carbon, excess float64, dpk []float64) flask {
	q := strangeMolar * given
	f := flask{litres: k.ml/1e3 + given, strong: k.ions*moles + excess, salt: math.Abs(k.ions*moles) + q}
	for _, a := range k.acids {
		a.mol, a.pk = moles, append([]float64(nil), a.pk...)
		for i := range a.pk {
			z := float64(a.charge - i) // of the form that loses the proton
			a.pk[i] += math.Hypot(0.015, 0.02*math.Abs((z-1)*(z-1)-z*z)) * dpk[i]
		}
		f.acids = append(f.acids, a)
	}
	if k.titrant != "NaOH" {
		f.strong -= q
		return f
	}
	f.strong += q * (1 + carbon)
	f.acids = append(f.acids, acid{[]float64{6.351, 10.329}, 0, q * carbon})
	return f
}

// found is what the program makes of it, with nothing known but substance and strength.
func (k *strange) found(t *testing.T, dots []find.Dot, readML float64) find.Found {
	t.Helper()
	num := func(x float64) *float64 { return &x }
	s, err := recipe.Compile(recipe.Plan{Name: "x", Find: &recipe.Find{What: "amount", GuessPct: num(200), SampleML: num(k.ml), MeterSD: num(strangeShift), SlopePct: num(100 * strangeSlope), BendSD: num(strangeBend), ReadML: num(readML)},
		Beaker: recipe.Beaker{StartML: num(k.ml), FinalML: num(k.ml + 200)}, Weighed: []recipe.Weighed{{Reagent: k.reagent, MMol: num(k.mmol)}},
		Titrants: []recipe.Titrant{{Name: "bottle", Reagent: k.titrant, Molar: num(strangeMolar), By: "burette", MolarSDPct: num(0.02)}}})
	require.NoError(t, err)
	b, err := s.Bench(25)
	require.NoError(t, err)
	h := log(dots, 0.03)
	for i := range h.Observations[1:] {
		o := &h.Observations[i+1]
		o.SD = math.Hypot(0.03, 0.1*(o.PH-h.Observations[i].PH))
	}
	bel, err := b.Guide.(*find.Bench).Believe(h)
	require.NoError(t, err)
	return bel.Found()
}

// The spread of every equivalence point in a log by others is that of its error: of the
// first of two as well. HALFDROP_RUNS=1000 plays so many of each kind.
func TestPointsOfStrangeLogsHold(t *testing.T) {
	for _, k := range []strange{
		{"acetic acid", "NaOH", []acid{{[]float64{4.756}, 0, 0}}, 0, 2.5, 25, []float64{1}, []float64{0}},
		{"phosphoric acid", "NaOH", []acid{{[]float64{2.148, 7.198, 12.35}, 0, 0}}, 0, 1.1, 25, []float64{1, 2}, []float64{1, 0}},
		{"HCl", "NaOH", nil, -1, 2.5, 25, []float64{1, 1}, []float64{1, 0}}, // carbonate in the base parts the leap
		{"sodium carbonate", "HCl", []acid{{[]float64{6.351, 10.329}, 0, 0}}, 2, 1.2, 50, []float64{1, 2}, []float64{0, 0}},
		{"Tris", "HCl", []acid{{[]float64{8.072}, 1, 0}}, 0, 2, 40, []float64{1}, []float64{0}},
		{"potassium hydrogen phthalate", "NaOH", phthalate, 1, 2.5, 50, []float64{1}, []float64{0}},
	} {
		t.Run(k.reagent, func(t *testing.T) {
			n, amount, all := runs(20), 0, 0
			in, wide := make([]int, len(k.points)), make([]float64, len(k.points))
			for i := range n {
				dots, moles, readML, want := k.log(uint64(i + 1))
				f := k.found(t, dots, readML)
				if math.Abs(f.Value-moles) <= 2*f.SD {
					amount++
				}
				if len(f.Stations) != len(k.points) {
					require.Equal(t, "HCl", k.reagent, "seed %d: %d equivalence points", i+1, len(f.Stations))
					continue // of a base with hardly any carbonate
				}
				all++
				for j, st := range f.Stations {
					if math.Abs(st.Volume.Millilitres()-want[j]) <= 2*st.SD.Millilitres() {
						in[j]++
					}
					wide[j] += st.SD.Millilitres()
				}
			}
			t.Logf("amount: %.1f %% of %d within two spreads", 100*float64(amount)/float64(n), n)
			assert.Greater(t, float64(amount)/float64(n), leastIn-byChance(leastIn, n))
			for j := range in {
				share := float64(in[j]) / float64(all)
				t.Logf("equivalence point %d: %.1f %% of %d, ± %.3f mL in the mean", j+1, 100*share, all, wide[j]/float64(all))
				assert.Greater(t, share, leastIn-byChance(leastIn, all))
				assert.Less(t, wide[j]/float64(all), 0.12)
			}
		})
	}
}

// A meter whose slope is a quarter too low, and one that is 1 pH off, bring no fit to a
// composition that cannot be; and one leap of carbonate is not taken for the other (seeds
// that failed).
func TestAMeterThatIsFarOff(t *testing.T) {
	acetic := strange{"acetic acid", "NaOH", []acid{{[]float64{4.756}, 0, 0}}, 0, 2.5, 25, []float64{1}, []float64{0}}
	carbonate := strange{"sodium carbonate", "HCl", []acid{{[]float64{6.351, 10.329}, 0, 0}}, 2, 1.2, 50, []float64{1, 2}, []float64{0, 0}}
	for _, c := range []struct {
		k            strange
		shift, slope float64
	}{
		{acetic, -0.8, -0.13}, {acetic, -0.1, -0.27}, {acetic, -0.9, -0.23}, {acetic, 1, 0.1},
		{carbonate, -0.8, 0}, {carbonate, 1, 0.1}, {carbonate, 1.05, -0.2},
	} {
		dots, moles, readML, _ := c.k.log(5)
		off := c.k.off(5, c.shift, c.slope)
		for i := range dots {
			dots[i].PH = off[i]
		}
		f := c.k.found(t, dots, readML)
		t.Logf("%s, %+.1f pH, slope %+.0f %%: %.4f ± %.4f mmol, true %.4f, misfit %.1f", c.k.reagent, c.shift, 100*c.slope, 1e3*f.Value, 1e3*f.SD, 1e3*moles, f.Misfit)
		assert.InDelta(t, moles, f.Value, 3*f.SD)
		assert.Less(t, f.Relative(), 0.02)
	}
}

// off is the pH of a log by a meter that is off in shift and slope and nothing else.
func (k *strange) off(seed uint64, shift, slope float64) (out []float64) {
	dots, moles, _, _ := k.log(seed)
	for _, d := range dots {
		f := k.flask(moles, d.ML/1e3, 0, 0, make([]float64, 4))
		ph := f.ph()
		out = append(out, ph+shift+slope*(ph-7))
	}
	return out
}
