package curve_test

import (
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

type fataler interface {
	Helper()
	Errorf(string, ...any)
	FailNow()
}

func mix(t fataler, v chem.Volume, temp chem.Celsius, parts map[string]chem.Amount) chem.Solution {
	t.Helper()
	s := chem.Solution{Volume: v, Temp: temp}
	for name, n := range parts {
		r, err := table.ByAmount(name)
		require.NoError(t, err)
		s = chem.Mix(s, r.Dissolved(n).At(temp))
	}
	return s
}

// HCl with NaOH and acetic acid with NaOH, both 0.1 M: one equivalence point
// each, after 25 mL; at it pH 7.00 and 8.72 in an ideal solution: OpenStax
// Chemistry 2e, 14.7.
func TestEquivalencePoints(t *testing.T) {
	for _, tc := range []struct {
		acid string
		ph   float64
	}{{"HCl", 7.00}, {"acetic acid", 8.72}} {
		c, err := curve.New(mix(t, 0.025, 25, map[string]chem.Amount{tc.acid: 0.0025}), mix(t, 1, 25, map[string]chem.Amount{"NaOH": 0.1}), chem.Ideal)
		require.NoError(t, err)
		p, err := c.Points(50*chem.Millilitre, 1001)
		require.NoError(t, err)
		eq := curve.Equivalences(p)
		require.Len(t, eq, 1, tc.acid)
		assert.InDelta(t, 25, eq[0].Volume.Millilitres(), 0.05, tc.acid)
		assert.InDelta(t, tc.ph, eq[0].PH, 0.1, tc.acid)
		ph, err := c.PHAt(25 * chem.Millilitre)
		require.NoError(t, err)
		assert.InDelta(t, tc.ph, ph, 0.02, tc.acid)
	}
}

// Phosphoric acid shows two jumps, citric acid (pK 3.1, 4.8, 6.4) one, and
// phosphate titrated with acid falls.
func TestPolyproticEquivalencePoints(t *testing.T) {
	for _, tc := range []struct {
		acid string
		n    int
	}{{"H3PO4", 2}, {"citric acid", 1}} {
		c, err := curve.New(mix(t, 0.1, 25, map[string]chem.Amount{tc.acid: 0.005}), mix(t, 1, 25, map[string]chem.Amount{"NaOH": 0.5}))
		require.NoError(t, err)
		p, err := c.Points(40*chem.Millilitre, 801)
		require.NoError(t, err)
		assert.Len(t, curve.Equivalences(p), tc.n, tc.acid)
	}
	c, err := curve.New(mix(t, 0.1, 25, map[string]chem.Amount{"Na2HPO4": 0.005}), mix(t, 1, 25, map[string]chem.Amount{"HCl": 0.5}))
	require.NoError(t, err)
	p, err := c.Points(15*chem.Millilitre, 301)
	require.NoError(t, err)
	assert.Len(t, curve.Equivalences(p), 1)
	for i := 1; i < len(p); i++ {
		require.Less(t, p[i].PH, p[i-1].PH)
	}
}

func TestTheBandHoldsTheCurveAndWidensWhereItIsSteep(t *testing.T) {
	c, err := curve.New(mix(t, 0.4, 21, map[string]chem.Amount{"HEPES": 0.0125}), mix(t, 1, 21, map[string]chem.Amount{"NaOH": 1}))
	require.NoError(t, err)
	p, err := c.Band(15*chem.Millilitre, 301, curve.OrdinaryCare())
	require.NoError(t, err)
	widest, at := 0.0, chem.Volume(0)
	for _, x := range p {
		require.LessOrEqual(t, x.Low, x.PH)
		require.GreaterOrEqual(t, x.High, x.PH)
		require.GreaterOrEqual(t, x.High-x.Low, 2*0.02, "the meter alone")
		if x.High-x.Low > widest {
			widest, at = x.High-x.Low, x.Volume
		}
	}
	assert.Greater(t, widest, 0.5)
	assert.InDelta(t, 12.5, at.Millilitres(), 0.7)
	few, err := c.Band(15*chem.Millilitre, 7, curve.OrdinaryCare())
	require.NoError(t, err)
	for i, x := range few {
		require.InDelta(t, p[50*i].PH, x.PH, 1e-9)
		require.InDelta(t, p[50*i].Low, x.Low, 0.02)
		require.InDelta(t, p[50*i].High, x.High, 0.02)
	}
}

func TestOutOfReach(t *testing.T) {
	c, err := curve.New(mix(t, 0.1, 25, map[string]chem.Amount{"HEPES": 0.0025}), mix(t, 1, 25, map[string]chem.Amount{"NaOH": 0.1}))
	require.NoError(t, err)
	for _, ph := range []float64{3, 13.5} {
		_, err = c.VolumeAt(ph)
		assert.ErrorIs(t, err, curve.ErrUnreachable, "pH %g", ph)
	}
	_, err = c.VolumeAt(20)
	assert.Error(t, err)
	_, err = c.PHAt(-1)
	assert.Error(t, err)
	_, err = c.Points(0, 10)
	assert.Error(t, err)
	_, err = c.Points(0.01, 1)
	assert.Error(t, err)
	_, err = curve.New(chem.Solution{Temp: 25}, mix(t, 1, 25, map[string]chem.Amount{"NaOH": 0.1}))
	assert.ErrorIs(t, err, chem.ErrVolume)
}

var acids = []string{"HEPES", "citric acid", "H3PO4", "acetic acid", "Tris HCl", "glycine hydrochloride", "boric acid", "KHP", "PIPES", "L-histidine hydrochloride"}
var bases = []string{"Tris", "Na2HPO4", "trisodium citrate", "sodium acetate", "imidazole", "NH3", "Na2CO3", "Bis-Tris"}

// The inverse of the curve returns the volume, for acids with NaOH, bases
// with HCl, weak titrants, and mixtures, at any temperature and salt.
func TestInverseReturnsTheVolume(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		from, strong := acids, "NaOH"
		if rapid.Bool().Draw(rt, "bases") {
			from, strong = bases, "HCl"
		}
		parts := map[string]chem.Amount{}
		for range rapid.IntRange(1, 3).Draw(rt, "systems") {
			parts[rapid.SampledFrom(from).Draw(rt, "name")] = chem.Amount(rapid.Float64Range(1e-4, 0.02).Draw(rt, "mol"))
		}
		parts["KCl"] = chem.Amount(rapid.Float64Range(0, 0.06).Draw(rt, "salt"))
		temp := chem.Celsius(rapid.Float64Range(0, 60).Draw(rt, "temp"))
		var opts []chem.Option
		if rapid.Bool().Draw(rt, "ideal") {
			opts = append(opts, chem.Ideal)
		}
		c, err := curve.New(mix(rt, 0.2, temp, parts), mix(rt, 1, temp, map[string]chem.Amount{strong: chem.Amount(rapid.Float64Range(0.05, 5).Draw(rt, "molar"))}), opts...)
		require.NoError(rt, err)
		v := chem.Volume(rapid.Float64Range(0, 0.05).Draw(rt, "volume"))
		ph, err := c.PHAt(v)
		require.NoError(rt, err)
		back, err := c.VolumeAt(ph)
		require.NoError(rt, err)
		require.InDelta(rt, v.Litres(), back.Litres(), 3e-8+1e-6*v.Litres())
	})
}

// A curve made of one thousand points, phosphate and Tris with NaOH.
func BenchmarkCurve(b *testing.B) {
	for _, tc := range []struct {
		name  string
		parts map[string]chem.Amount
	}{
		{"1 system", map[string]chem.Amount{"KH2PO4": 0.01}},
		{"2 systems", map[string]chem.Amount{"KH2PO4": 0.01, "Tris HCl": 0.01}},
		{"4 systems", map[string]chem.Amount{"KH2PO4": 0.01, "Tris HCl": 0.01, "citric acid": 0.01, "boric acid": 0.01}},
	} {
		c, err := curve.New(mix(b, 0.2, 25, tc.parts), mix(b, 1, 25, map[string]chem.Amount{"NaOH": 1}))
		if err != nil {
			b.Fatal(err)
		}
		for _, n := range []int{1000, 10000} {
			b.Run(tc.name+"/"+map[int]string{1000: "1000 points", 10000: "10000 points"}[n], func(b *testing.B) {
				for b.Loop() {
					if _, err := c.Band(40*chem.Millilitre, n, curve.OrdinaryCare()); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// A stretch is steep where a buffer value 2.5 times as large stands on both sides of it.
func TestFromWhereAStretchIsAnEquivalencePoint(t *testing.T) {
	for times, points := range map[float64]int{2: 0, 3: 1} {
		var list []curve.Point
		for _, flat := range []float64{1, 0.8, 1 / times, 0.8, 1, 1} {
			list = append(list, curve.Point{Volume: chem.Volume(len(list)) * chem.Millilitre, PH: 7, Slope: 1 / flat})
		}
		assert.Len(t, curve.Equivalences(list), points, "%g times", times)
	}
}

// Between the points where the chemistry is doubted its spread is taken on straight lines: near enough
// over HEPES and NaOH to what each point has when it is solved by itself (within a quarter, at the start,
// where it changes most), and at no more of them than about a hundred, however many points there are, by
// what one doubt allocates.
func TestTheChemistryIsDoubtedAtAHundredPoints(t *testing.T) {
	beaker, litre := mix(t, 0.4, 25, map[string]chem.Amount{"HEPES": 0.0125}), mix(t, 1, 25, map[string]chem.Amount{"NaOH": 1})
	c, err := curve.New(beaker, litre)
	require.NoError(t, err)
	p, err := c.Band(15*chem.Millilitre, 401, curve.Care{})
	require.NoError(t, err)
	for _, x := range p {
		r, err := solved.Describe(chem.Mix(beaker, litre.Scale(x.Volume.Litres())))
		require.NoError(t, err)
		require.InEpsilon(t, r.Spread, x.High-x.PH, 0.25, "pH %.2f", x.PH)
	}
	m, err := chem.NewModel(25, chem.Mix(beaker, litre).Kinds())
	require.NoError(t, err)
	half, err := m.Compose(chem.Mix(beaker, litre.Scale(0.006)))
	require.NoError(t, err)
	var md chem.Medium
	e, err := m.SolveIn(&half, 7, &md)
	require.NoError(t, err)
	one := testing.AllocsPerRun(10, func() { solved.Judge(m, &half, e, &md) })
	all := testing.AllocsPerRun(3, func() { _, err = c.Band(15*chem.Millilitre, 801, curve.Care{}) })
	require.NoError(t, err)
	t.Logf("%.0f allocations, %.0f of one doubt", all, one)
	assert.Less(t, all/one, 130.0)
}
