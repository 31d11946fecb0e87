package foreign

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/view"
)

// The figures by which logs of others are judged are choices of this project: each is held
// here from both sides.

var none = math.NaN()

// ramp is n values from first on, a step apart.
func ramp(first, step float64, n int) (v []float64) {
	for i := range n {
		v = append(v, first+step*float64(i))
	}
	return v
}

func TestKindOfAVolume(t *testing.T) {
	slips := func(n int) []float64 { // 21 rows that rise, but for n slips
		v := ramp(10, 1, 21)
		for i := range n {
			v[3+5*i] = v[2+5*i] - 0.5
		}
		return v
	}
	flat := func(n int) []float64 { // 11 rows, of whose ten steps n fall
		v := ramp(10, -1, n+1)
		for len(v) < 11 {
			v = append(v, v[len(v)-1])
		}
		return v
	}
	for name, c := range map[string]struct {
		v    []float64
		want VolumeKind // or a question
	}{
		"two slips of twenty steps":   {slips(2), TotalVolume},
		"three":                       {slips(3), ""},
		"falls at seven of ten steps": {flat(7), LeftVolume},
		"at five":                     {flat(5), ""},
	} {
		kind, err := kindOf(c.v, "mL")
		assert.Equal(t, c.want, kind, name)
		assert.Equal(t, c.want == "", err != nil, name)
	}

	for last, want := range map[float64]int{3.5: 1, 4.5: 0} { // of ten
		assert.Equal(t, want, refills([]float64{2, 4, 6, 8, 10, last, 6, 8}), last)
	}
	four := []float64{0, 5, 9, 0, 5, 9, 0, 5, 9, 0, 5, 9}
	assert.Equal(t, 3, refills(four))
	assert.Zero(t, refills(append(four, 0, 5, 9)), "nobody fills a burette four times in a run")

	for back, want := range map[int]bool{1: false, 2: false, 3: true} {
		assert.Equal(t, want, backwards(slips(back)[:20]), back)
	}
	assert.False(t, backwards([]float64{1, 0, none, 1}), "a clock may be set once")
}

// A first volume that may have been given in one is; one far above the steps after it is a
// question, unless it is the sample's.
func TestWhereAVolumeBegins(t *testing.T) {
	for _, c := range []struct {
		v     []float64
		facts string
		want  VolumeKind
	}{
		{[]float64{2.4, 3.4, 4.4, 5.4, 6.4}, "", TotalVolume},
		{[]float64{2.6, 3.6, 4.6, 5.6, 6.6}, "", ""},
		{[]float64{2.6, 3.6, 4.6, 5.8, 6.8}, "", TotalVolume}, // the third step is 1.2
		{[]float64{2.6, 3.6, 4.6, 5.6, 15.6}, "", ""},         // the fourth is none of the first
		{[]float64{25.2, 26.2, 27.2}, "sample: 25 mL", RiseVolume},
		{[]float64{25.3, 26.3, 27.3}, "sample: 25 mL", ""},
		{[]float64{0, 9, 10}, "", TotalVolume},
	} {
		l := &Log{Facts: []string{c.facts}}
		kind, err := l.begins(c.v, "mL")
		assert.Equal(t, c.want, kind, "%v", c.v)
		assert.Equal(t, c.want == "", err != nil, "%v", c.v)
	}
}

// A burette that is filled anew goes on from where it was filled to; where the pH has moved
// since the last reading more than readings differ, titrant was given in between.
func TestFilledAnew(t *testing.T) {
	for moved, want := range map[float64]float64{0.015: 10, 0.025: 11} {
		v, ph := []float64{0, 5, 10, 1, 6}, []float64{4, 5, 6, 6 + moved, 8}
		require.NoError(t, (&Log{}).given(v, ph, "mL", TotalVolume))
		assert.Equal(t, []float64{0, 5, 10, want, want + 5}, v)
	}
}

func TestAVolumeWithoutAUnit(t *testing.T) {
	for high, asked := range map[float64]bool{290: false, 310: true} {
		text := "Volume,pH\n"
		for i, v := range ramp(0, high/10, 11) {
			text += fmt.Sprintf("%g,%d\n", v, i)
		}
		_, err := ReadLog(strings.NewReader(text), LogOptions{})
		var q *Question
		assert.Equal(t, asked, errors.As(err, &q), "up to %g: %v", high, err)
		for unit, most := range map[string]float64{"µL": high / 1000, "mL": high} {
			l, err := ReadLog(strings.NewReader(text), LogOptions{Column: map[string]string{"volume": "volume in " + unit}})
			require.NoError(t, err)
			assert.InDelta(t, most, l.Rows[len(l.Rows)-1].ML, 1e-9, unit)
		}
		_, err = ReadLog(strings.NewReader(text), LogOptions{Column: map[string]string{"volume": "W in mL"}})
		assert.ErrorContains(t, err, `no column "W": there are`)
	}
}

// Titrations below one another begin again with pH and volume, and are five rows at least.
func TestOneBelowTheOther(t *testing.T) {
	two := func(n int, ph float64) []int {
		first, again := ramp(3, 8/9., 10), ramp(ph, 0.5, n)
		return stacked(append(ramp(0, 1, 10), ramp(0, 1, n)...), append(first, again...))
	}
	assert.Equal(t, []int{0, 10}, two(5, 4.9), "a quarter of the way of the first is 2")
	assert.Nil(t, two(5, 5.1))
	assert.Nil(t, two(4, 3))
}

// A volume that is noted where it was given stands on the readings after it.
func TestVolumesNotedWhereTheyWereGiven(t *testing.T) {
	// carried is a log of n volumes with five rows each; of each move of 1 the share late falls
	// into the second half, and before the first addition the pH moves by rest.
	carried := func(n int, rest, late float64) bool {
		var ml, ph []float64
		for k := range n {
			move := 1.0
			if k == 0 {
				move = rest
			}
			p := float64(2 * k)
			ml = append(ml, float64(k), none, none, none, none)
			ph = append(ph, p, p+move*(1-late)/2, p+move*(1-late), p+move, p+move)
		}
		return carry(ml, ph)
	}
	assert.True(t, carried(4, 0.24, 0.28))
	assert.False(t, carried(3, 0.24, 0.28), "three volumes say too little")
	assert.False(t, carried(4, 0.26, 0.28), "the pH moved before the first")
	assert.False(t, carried(4, 0.24, 0.32), "it moved late: it was read where it is noted")
}

// What was read in the end is the median of five: a spike is none.
func TestWhatItCameTo(t *testing.T) {
	came := func(ph ...float64) float64 {
		l := &Log{}
		for _, x := range ph {
			l.Rows = append(l.Rows, Row{ML: 1, PH: x})
		}
		return l.standstills()[0].ph
	}
	assert.Equal(t, 5.0, came(4, 4, 4, 4, 5, 5, 5), "not of all")
	assert.Equal(t, 5.0, came(5, 5, 5, 9, 9), "two spikes")
	assert.Equal(t, 9.0, came(5, 5, 9, 9, 9))
}

// A curve of very many points is thinned, its ends and its steep part kept.
func TestThinned(t *testing.T) {
	curve := func(n int) (p []fit.Point) {
		for _, v := range ramp(0, 20/float64(n-1), n) {
			p = append(p, fit.Point{ML: v, PH: 7 + 3*math.Tanh(4*(v-10))})
		}
		return p
	}
	assert.Len(t, thinned(curve(120)), 120)
	many := curve(2000)
	p := thinned(many)
	assert.InDelta(t, 115, len(p), 8)
	assert.Equal(t, many[0], p[0])
	assert.Equal(t, many[1999], p[len(p)-1])
	steep := 0
	for _, x := range p {
		if math.Abs(x.ML-10) < 1 {
			steep++
		}
	}
	assert.Greater(t, steep, len(p)/3, "a tenth of the volume has half of the way")
}

func TestVolumesToAndFro(t *testing.T) {
	for back, said := range map[int]bool{3: false, 4: true} {
		l := &Log{}
		for i := range 10 {
			l.Rows = append(l.Rows, Row{ML: float64(10 - 10*max(0, i-9+back))})
		}
		assert.Equal(t, said, l.lost() != "", "%d of ten", back)
	}
}

// What a fit does not say is said beside it.
func TestBesideAFit(t *testing.T) {
	known := fit.Options{SampleML: 25, Molar: 0.1}
	acid := func(pk float64) *fit.Result {
		return &fit.Result{Sites: []fit.Site{{PK: fit.Value{Value: pk, SD: 0.1}, ML: fit.Value{Value: 10, SD: 0.1}}}}
	}
	shift := func(x, sd float64) *fit.Result { return &fit.Result{Shift: fit.Value{Value: x, SD: sd}} }
	for name, c := range map[string]struct {
		f    *fit.Result
		o    fit.Options
		want string
	}{
		"all is well":     {&fit.Result{Left: 0.09}, known, ""},
		"residual":        {&fit.Result{Left: 0.11}, known, "residual"},
		"sample":          {&fit.Result{SampleML: 30}, fit.Options{Molar: 0.1}, "from 15 to 60 mL"},
		"strength":        {&fit.Result{}, fit.Options{SampleML: 25}, "strength of the titrant"},
		"low":             {shift(0.06, 0.029), known, "0.06 too low"},
		"high":            {shift(-0.06, 0.029), known, "0.06 too high"},
		"within two sd":   {shift(0.06, 0.031), known, ""},
		"a small one":     {shift(0.049, 0.001), known, ""},
		"a strong acid":   {acid(2.4), known, "pK 2.4"},
		"a weak one":      {acid(11.6), known, "pK 11.6"},
		"one that counts": {acid(2.6), known, ""},
		"another":         {acid(11.4), known, ""},
	} {
		said := strings.Join(advise(c.f, c.o), "\n")
		assert.Contains(t, said, c.want, name)
		assert.Equal(t, c.want == "", said == "", name)
	}

	told := func(misfit, carbonate float64) string {
		var b bytes.Buffer
		f := &view.Finding{Found: find.Found{Misfit: misfit, Carbonate: carbonate, Main: -1}}
		require.NoError(t, writeDetermined(&b, f))
		return b.String()
	}
	assert.NotContains(t, told(1.9, 0.029), "note")
	assert.Contains(t, told(2.1, 0), "scatter 1.4 times")
	assert.NotContains(t, told(15, 0), "CHECK", "four times as much as they should")
	assert.Contains(t, told(17, 0), "CHECK")
	assert.Contains(t, told(1, 0.031), "an old base")
}

// Rows that are odd are named one by one, five of them.
func TestRowsThatAreNamed(t *testing.T) {
	l := &Log{}
	l.list("odd", []int{3})
	l.list("odd", []int{1, 2, 3, 4, 5})
	l.list("odd", []int{1, 2, 3, 4, 5, 6, 7})
	l.list("odd", nil)
	assert.Equal(t, []string{"line 3: odd", "lines 1, 2, 3, 4, 5: odd", "lines 1, 2, 3, 4, 5 and 2 more: odd"}, l.Notes)
}

// The fastest change is that over half a minute; over less than a quarter of a minute noise
// is as fast.
func TestFastest(t *testing.T) {
	l := &Log{}
	for i := range 13 {
		ph := 4.0
		if i >= 6 {
			ph = 5
		}
		l.Rows = append(l.Rows, Row{T: 10 * float64(i), PH: ph})
	}
	assert.InDelta(t, 2, math.Abs(l.fastest().PerMinute), 1e-9, "1 pH within half a minute")
	assert.Nil(t, (&Log{Rows: l.Rows[:2]}).fastest(), "ten seconds say nothing")
}

// The readings of a log are taken to scatter by 0.03, and by a tenth of each step, together:
// where they do, χ² is about their number, and what is found has a spread that holds it.
func TestTheScatterOfALog(t *testing.T) {
	num := func(x float64) *float64 { return &x }
	s, err := recipe.Compile(recipe.Plan{Name: "acid", Find: &recipe.Find{What: "amount", GuessPct: num(200), SampleML: num(25), MeterSD: num(0.4), SlopePct: num(10), BendSD: num(0.1), ReadML: num(0.005)},
		Beaker: recipe.Beaker{StartML: num(25), FinalML: num(125)}, Weighed: []recipe.Weighed{{Reagent: "acetic acid", MMol: num(2.4)}},
		Titrants: []recipe.Titrant{{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: num(0.1), By: "burette", MolarSDPct: num(0.02)}}})
	require.NoError(t, err)
	misfit, spread := 0.0, 0.0
	const logs = 4
	for seed := range uint64(logs) {
		r := rand.New(rand.NewPCG(seed, 1))
		l, before := &Log{}, none
		for v := 0.0; v <= 32; v += 0.5 {
			ph := AceticAt(v)
			if math.IsNaN(before) {
				before = ph
			}
			l.Rows = append(l.Rows, Row{ML: v, PH: ph + 0.03*r.NormFloat64() + 0.1*(ph-before)*r.NormFloat64()})
			before = ph
		}
		f, err := l.Determine(s, 0)
		require.NoError(t, err)
		assert.InDelta(t, 2.5e-3, f.Value, 4*f.SD)
		spread = math.Max(spread, f.SD)
		misfit += f.Misfit / logs
	}
	assert.InDelta(t, 1, misfit, 0.3)
	assert.Less(t, spread, 0.02*2.5e-3, "found to two parts in a hundred")
	assert.InDelta(t, 0.05, logSD(-0.4), 1e-9, "of 0.03 and 0.04")
}

// AceticAt is the pH of 25 mL of acetic acid 0.1 mol/L (pK 4.757, R. G. Bates, Determination of
// pH, 2nd ed., 1973: from memory) with v mL of NaOH 0.1 mol/L, ideal: a closed formula that
// shares nothing with the fit. Its end is at 25.00 mL by the amounts.
func AceticAt(v float64) float64 {
	lo, hi := 0.0, 14.0
	for range 60 {
		ph := (lo + hi) / 2
		h := math.Pow(10, -ph)
		if 0.1*v/1e3+(h-1e-14/h)*(25+v)/1e3-2.5e-3/(1+math.Pow(10, 4.757-ph)) > 0 {
			lo = ph
		} else {
			hi = ph
		}
	}
	return (lo + hi) / 2
}

// A curve is steepest at its end, over a hundredth of its volume at least: two readings of one
// volume, or nearly, say nothing of a slope.
func TestSteepest(t *testing.T) {
	l := &Log{}
	for _, v := range ramp(0, 0.25, 131) {
		l.Rows = append(l.Rows, Row{ML: v, PH: AceticAt(v)})
		if v == 10 {
			l.Rows = append(l.Rows, Row{ML: 10.001, PH: AceticAt(v) + 1})
		}
	}
	assert.InDelta(t, 25, l.Steepest(), 0.3)
	assert.True(t, math.IsNaN((&Log{Rows: []Row{{ML: none, PH: 7}}}).Steepest()))
}

// A constant that was found is told to programs with its pK, an amount without one.
func TestToldToPrograms(t *testing.T) {
	for what, pk := range map[find.What]bool{find.Constant: true, find.Amount: false} {
		v := &LogReview{}
		v.Tell(&view.Finding{Found: find.Found{What: what, Value: 1e-3, PK: 4.76, PKSD: 0.01}})
		require.Equal(t, pk, v.Found.PK != nil, what)
		if pk {
			assert.Equal(t, []float64{4.76, 0.01}, []float64{*v.Found.PK, *v.Found.PKSD})
		}
	}
}
