package fit

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The figures of judgement of this room, each held from both sides: by worked numbers where
// there are some, else by the step at which the answer changes.

// rising is a curve of so many points over a span, pH, that goes one way.
func rising(n int, from, to float64) []Point {
	out := make([]Point, n)
	for i := range out {
		x := float64(i) / float64(n-1)
		out[i] = Point{ML: 10 * x, PH: from + x*(to-from)}
	}
	return out
}

func TestWhatCanBeACurve(t *testing.T) {
	_, err := Curve(rising(5, 4, 9), Options{})
	require.ErrorIs(t, err, ErrFewPoints)
	assert.ErrorContains(t, err, "5 of at least 6 volumes")
	assert.NoError(t, plausible(rising(6, 4, 9), Options{}))
	assert.ErrorContains(t, plausible(rising(40, 4, 4.45), Options{}), "shows no acid or base")
	assert.NoError(t, plausible(rising(40, 4, 4.55), Options{}))
	// Up by 1 + x and down by x: the way from first to last is 1 of 1 + 2x in all.
	for share, ok := range map[float64]bool{0.72: false, 0.78: true} {
		x := (1/share - 1) / 2
		err := plausible(append(rising(200, 4, 5+x), rising(200, 5+x, 5)...), Options{})
		assert.Equal(t, ok, err == nil, "%g of all movement goes one way", share)
	}
}

// A hundred medians tell the course of a long log. Of noise of 0.2 pH the median of 45 has
// 1.25·0.2/√45 = 0.037, and 99 steps from one to the next are 99·2/√π·0.037 = 4.2 in all; of
// 50 medians it were 1.5, of 150 7.8 (normal distribution).
func TestCourseOfALongLog(t *testing.T) {
	list := rising(4500, 5, 5)
	rnd := rand.New(rand.NewPCG(1, 2))
	for i := range list {
		list[i].PH += 0.2 * rnd.NormFloat64()
	}
	_, _, moved := smooth(list)
	assert.InDelta(t, 4.2, moved, 0.6)
}

func TestWhatAFitMustNotLeave(t *testing.T) {
	of := func(left, shift float64) error {
		r := Result{Left: left, Molar: Value{Value: 0.1}, Shift: Value{Value: shift}, Ends: []Value{{Value: 10, SD: 0.1}}}
		return r.sensible(true)
	}
	assert.NoError(t, of(0.24, 0))
	assert.ErrorContains(t, of(0.26, 0), "the residual is 0.26 pH")
	assert.NoError(t, of(0.1, 1.495))
	assert.ErrorContains(t, of(0.1, -1.5), "more than 1.5")
	p := newProblem(rising(6, 4, 9), Options{})
	assert.Equal(t, 1.5, p.within(params{molar: 1, shift: 1.6}).shift, "where the search is held")
	assert.Equal(t, -1.45, p.within(params{molar: 1, shift: -1.45}).shift)
	assert.Equal(t, []float64{0.5, 13.5}, p.within(params{n: []float64{1, 1}, pk: []float64{-3, 15}}).pk)
	assert.Equal(t, 13.0, p.within(params{n: []float64{1}, pk: []float64{13}}).pk[0])
}

// A reading is known to 0.02 pH and a volume to 0.3 % of the largest. By hand: on a slope of
// 0.5 pH a mL, of 10 mL, √(0.02² + (0.5·0.03)²) = 0.025.
func TestSpreadOfAPoint(t *testing.T) {
	p := newProblem(rising(11, 4, 9), Options{})
	assert.InDelta(t, 0.025, p.spread[5], 1e-9)
	p.given = 0
	// The residual of a point, mol: 0.001 mol a pH by the reading, 0.1 mol/L of 10 mL by the volume.
	assert.InDelta(t, math.Hypot(0.001*0.02, 0.1*0.01*0.003), p.sd(params{molar: 0.1}, 0.001), 1e-12)
}

// A meter that nobody calibrated is held to 0.3 pH, and a constant to 5 about 7: of no
// points the sum of squares is that of the priors.
func TestPriors(t *testing.T) {
	p := &problem{sign: 1}
	n, g := newMatrix(5), make([]float64, 5)
	assert.InDelta(t, 1, p.normal(params{molar: 0.1, n: []float64{1}, pk: []float64{7}, shift: 0.3}, n, g), 1e-9)
	assert.InDelta(t, 1, p.normal(params{molar: 0.1, n: []float64{1}, pk: []float64{12}}, n, g), 1e-9)
}

// Where nothing holds the meter it may be off by 0.15 pH, and a strength by ln 10 times that.
func TestWhatTheMeterAloneHolds(t *testing.T) {
	r := Result{Molar: Value{Value: 0.1}, Excess: Value{Value: 2}, Sites: []Site{{MMol: Value{Value: 3}}}}
	r.loosen()
	assert.InDelta(t, 0.15, r.Shift.SD, 1e-9)
	assert.InDelta(t, 0.15, r.Sites[0].PK.SD, 1e-9)
	assert.InDelta(t, 0.1*math.Ln10*0.15, r.Molar.SD, 1e-9)
	assert.InDelta(t, 2*math.Ln10*0.15, r.Excess.SD, 1e-9)
	assert.InDelta(t, 3*math.Ln10*0.15, r.Sites[0].MMol.SD, 1e-9)
}

// acetic is 2.5 mmol of an acid of pK 4.7 in 50 mL with 0.1 mol/L of base, by the model of
// the fit itself, without noise: its point is at 25 mL.
func acetic(t *testing.T) (*problem, params) {
	t.Helper()
	points := make([]Point, 41)
	for i := range points {
		points[i].ML = float64(i)
	}
	points[40].PH = 12
	p := newProblem(points, Options{SampleML: 50, Molar: 0.1})
	q := params{molar: 0.1, n: []float64{2.5e-3}, pk: []float64{4.7}}
	for i := range points {
		points[i].PH = p.ph(q, points[i].ML)
	}
	return newProblem(points, Options{SampleML: 50, Molar: 0.1}), q
}

// Volumes are widened by what they would be on a meter whose slope is 1 % another, with a
// base that has taken up 0.75 mol in 100 of carbon dioxide, and with constants that go with
// the ionic strength: all three added in squares.
func TestWhatElseMayBe(t *testing.T) {
	p, q := acetic(t)
	r := p.describe(q)
	require.Len(t, r.Ends, 1)
	assert.InDelta(t, 25, r.Ends[0].Value, 1e-6)
	want := r.Ends[0].SD * r.Ends[0].SD
	for _, change := range []func(*problem){
		func(p *problem) { p.slope = 0.01 }, func(p *problem) { p.carbon = 0.0075 }, func(p *problem) { p.salted = acidic },
	} {
		with := *p
		change(&with)
		ends := with.describe(with.refine(q, steps)).Ends
		require.Len(t, ends, 1)
		off := ends[0].Value - 25
		assert.Greater(t, math.Abs(off), 1e-4)
		want += off * off
	}
	r.others(p, q)
	assert.InDelta(t, math.Sqrt(want), r.Ends[0].SD, 1e-6)
}

// At pH 7 the slope of the meter changes nothing.
func TestASlopeTurnsAboutPH7(t *testing.T) {
	p, q := acetic(t)
	grad := make([]float64, 5)
	at := func(ph float64) float64 { r, _ := p.at(q, Point{20, ph}, grad); return r }
	seven, five := at(7), at(5)
	p.slope = 0.01
	assert.Equal(t, seven, at(7))
	assert.NotEqual(t, five, at(5))
}

// A sample of nobody knows what volume is taken for 50 mL, give or take a factor of two.
func TestSampleOfUnknownVolume(t *testing.T) {
	p, _ := acetic(t)
	r, err := Curve(p.points, Options{Molar: 0.1})
	require.NoError(t, err)
	assert.Equal(t, 50.0, r.SampleML)
	assert.Equal(t, 50.0, r.SampleSD)
}

// The score is n ln(χ²/n) + k ln n, of spreads that are thought twice too large at most,
// with the square of a shift over 0.1 pH, up to 25. By hand of a curve that fits: 41 ln ¼ +
// 5 ln 41.
func TestScore(t *testing.T) {
	p, q := acetic(t)
	exact := 41*math.Log(0.25) + 5*math.Log(41)
	assert.InDelta(t, exact, p.score(q), 1e-6)
	for shift, says := range map[float64]float64{0.2: 4, 0.45: 20.25, 0.6: 25} {
		with := q
		with.shift = shift
		for i := range p.points {
			p.points[i].PH = 0
		}
		for i := range p.points {
			p.points[i].PH = p.ph(with, p.points[i].ML)
		}
		assert.InDelta(t, exact+says, p.score(with), 1e-6, "%g pH", shift)
	}
	p, q = acetic(t)
	p.points[20].PH += 30 * p.spread[20]
	assert.InDelta(t, 25*25, p.squares(q), 1e-6, "one reading counts for no more than 25 spreads")
	p, q = acetic(t)
	p.points[20].PH += 20 * p.spread[20]
	assert.InDelta(t, 20*20, p.squares(q), 1e-3)
}

// A curve that fits better than its spreads say makes them half as large and no less.
func TestSpreadsOfACurveThatFits(t *testing.T) {
	p, q := acetic(t)
	sd := func(p *problem) float64 { return p.describe(q).Ends[0].SD }
	fits := sd(p)
	p.points = append([]Point(nil), p.points...)
	for i := range p.points {
		off := p.spread[i] * math.Sqrt(36.0/41) // χ² over 41 − 5 degrees of freedom is 1
		if i%2 == 1 {
			off = -off
		}
		p.points[i].PH += off
	}
	assert.InDelta(t, 0.5, fits/sd(p), 0.02)
}

// What another fit has otherwise widens a point that lies within 3 % of its own, and a
// constant within 1 of its own.
func TestHedge(t *testing.T) {
	for off, widened := range map[float64]bool{0.025: true, 0.035: false} {
		r := Result{Ends: []Value{{Value: 20}}}
		r.hedge(&Result{Ends: []Value{{Value: 20 * (1 + off)}}})
		assert.Equal(t, widened, r.Ends[0].SD > 0, "%g", off)
	}
	for off, widened := range map[float64]bool{0.9: true, 1.1: false} {
		r := Result{Sites: []Site{{PK: Value{Value: 5}}}}
		r.hedge(&Result{Sites: []Site{{PK: Value{Value: 5 + off}}}})
		assert.Equal(t, widened, r.Sites[0].PK.SD > 0, "%g", off)
	}
}

// Below pK 3 and beyond 10.8 water takes as much as an acid: a constant there need not be
// told from nothing.
func TestWhereWaterIsTitrated(t *testing.T) {
	for pk, vague := range map[float64]bool{2.9: false, 3.1: true, 10.7: true, 10.9: false} {
		r := Result{Sites: []Site{{PK: Value{pk, 0.1}, ML: Value{10, 9}}}}
		assert.Equal(t, vague, r.vague(), "pK %g", pk)
	}
}

// Gran's line takes what lies 1 to 60 % beyond the point, four readings of it at least, and
// is believed within 10 % of it.
func TestGranTakesWhatLiesBeyond(t *testing.T) {
	line := func(from float64, at ...float64) (Value, bool) { // of an excess of acid, from a volume on
		p := &problem{sign: -1, sample: 50, last: 40}
		for _, ml := range at {
			p.points = append(p.points, Point{ML: ml, PH: -math.Log10(1e-3 * math.Max(ml-from, 1e-6) / (50 + ml))})
		}
		p.points = append(p.points, Point{ML: 20.1, PH: 2}, Point{ML: 33, PH: 7}) // neither on it
		return p.gran(20)
	}
	v, ok := line(20, 20.4, 22, 24, 28, 31)
	require.True(t, ok)
	assert.InDelta(t, 20, v.Value, 1e-6)
	_, ok = line(20, 20.4, 22, 24, 31)
	assert.True(t, ok, "four")
	_, ok = line(20, 20.4, 22, 31)
	assert.False(t, ok, "three")
	_, ok = line(21.6, 22, 24, 26, 28, 30)
	assert.True(t, ok, "8 % off")
	_, ok = line(22.4, 23, 24, 26, 28, 30)
	assert.False(t, ok, "12 % off")
}

// What Gran's line says of a point is said of the base as well, where the point is that of
// all of it: to one per cent.
func TestDoubtOfTheWholeBase(t *testing.T) {
	p := problem{sign: -1, sample: 50, last: 40}
	for _, ml := range []float64{21.5, 23, 25, 28, 31} {
		p.points = append(p.points, Point{ML: ml, PH: -math.Log10(1e-3 * (ml - 21) / (50 + ml))})
	}
	for off, widened := range map[float64]bool{0.007: true, 0.013: false} {
		r := Result{Molar: Value{Value: 0.1}, Excess: Value{Value: 2 * (1 + off)}, Ends: []Value{{Value: 20}}, problem: p}
		r.doubt()
		assert.InDelta(t, 1, r.Ends[0].SD, 0.1)
		assert.Equal(t, widened, r.Excess.SD > 0, "%g", off)
	}
}

// Of a log of 800 readings and more neighbours are put together, where they lie within 0.2 pH.
func TestThin(t *testing.T) {
	assert.Len(t, thin(rising(799, 4, 9)), 799)
	assert.Len(t, thin(rising(800, 4, 9)), 400)
	steps := func(by float64) []Point {
		list := rising(800, 4, 4)
		for i := range list {
			list[i].PH += by * float64(i%2)
		}
		return list
	}
	assert.Len(t, thin(steps(0.18)), 400)
	assert.Len(t, thin(steps(0.22)), 800)
}

// An end before 2 % of the largest volume, or after 99 % of it, is none.
func TestEndsAtTheEdges(t *testing.T) {
	for end, shows := range map[float64]bool{0.017: false, 0.025: true, 0.985: true, 0.993: false} {
		p, q := acetic(t)
		p.last = 25 / end
		if end < 0.5 {
			p.last, q.n[0] = 40, 0.1*40*end*1e-3
		}
		assert.Equal(t, shows, len(p.describe(q).Ends) == 1, "%g of the largest volume", end)
	}
}

// At no ionic strength but that of the least, 0.001 mol/L: log γ = -0.509·(√I/(1+√I) - 0.3 I)
// = -0.0154, so that pH 5 is 1.036·10⁻⁵ mol/L (C. W. Davies: equation and constant from memory).
func TestLeastIonicStrength(t *testing.T) {
	p := newProblem(rising(6, 4, 9), Options{SampleML: 1000})
	r, _ := p.at(params{}, Point{0, 5}, make([]float64, 3))
	assert.InDelta(t, 1.036e-5, r, 0.002e-5)
	assert.Equal(t, 0.001, p.strength(params{}, Point{0, 7}, 0))
}

func TestRefusalIsOne(t *testing.T) {
	var r *Refusal
	assert.True(t, errors.As(plausible(rising(40, 4, 4.1), Options{}), &r))
}

// One more constant is believed in where the score falls by 2; a fit whose score is worse by
// less than 6 counts beside the best, and from 12 on nothing is tried further.
func TestWhichFitCounts(t *testing.T) {
	of := func(score, left float64) *candidate { return &candidate{&Result{Left: left}, score, params{}} }
	best := of(100, 0.1)
	assert.False(t, of(98.1, 0.1).beats(best))
	assert.True(t, of(97.9, 0.1).beats(best))
	assert.True(t, of(105.5, 0.1).counts(best))
	assert.False(t, of(106.5, 0.1).counts(best))
	assert.True(t, of(100, 0.24).counts(best))
	assert.False(t, of(100, 0.26).counts(best))
	assert.False(t, of(111.5, 0.1).hopeless(best))
	assert.True(t, of(112.5, 0.1).hopeless(best))
}

// Carbonate in a base takes half a charge less than was given at its second pK, and half of
// one more at its first: in 10 mL with 0.01 mol a mol, 0.05 mL of it.
func TestCarbonateInABase(t *testing.T) {
	p := newProblem(rising(6, 4, 9), Options{SampleML: 50, Molar: 0.1})
	for ph, want := range map[float64]float64{6.352: 0.5, 8.34: 0, 10.329: -0.5} {
		grad := make([]float64, 3)
		p.carbon = 0
		bare, _ := p.at(params{molar: 0.1}, Point{10, ph}, grad)
		p.carbon = 0.01
		with, _ := p.at(params{molar: 0.1}, Point{10, ph}, grad)
		assert.InDelta(t, want*0.01*0.1*0.01, with-bare, 0.02*1e-5, "pH %g", ph)
	}
}

// A point shows where the curve is steeper by 15 % than before it, and than after it.
func TestWhereAPointShows(t *testing.T) {
	p, _ := acetic(t)
	rise := func(q params, from, to float64) float64 { return math.Abs(p.ph(q, to) - p.ph(q, from)) }
	for _, c := range []struct {
		first, second, apart float64
		before, after, shows bool
	}{{0.6e-3, 1.4e-3, 2, false, true, false}, {1.4e-3, 0.6e-3, 2, true, false, false}, {1e-3, 1e-3, 2.5, true, true, true}, {1e-3, 1e-3, 2.1, false, false, false}} {
		q := params{molar: 0.1, n: []float64{c.first, c.second}, pk: []float64{5, 5 + c.apart}}
		v := c.first / 0.1
		here := rise(q, 1e3*v-0.2, 1e3*v+0.2)
		assert.Equal(t, c.before, here > 1.15*rise(q, 1e3*v-1.2, 1e3*v-0.8), "%+v", c)
		assert.Equal(t, c.after, here > 1.15*rise(q, 1e3*v+0.8, 1e3*v+1.2), "%+v", c)
		assert.Equal(t, c.shows, p.steep(q, v), "%+v", c)
	}
}

// The spread of a point is that of the charge to it, over the strength, in mL.
func TestSpreadOfAPointInML(t *testing.T) {
	p, q := acetic(t)
	cov := p.covariance(q)
	assert.InDelta(t, 1e3*math.Sqrt(cov.at(1, 1)+cov.at(2, 2)-2*cov.at(1, 2))/0.1, p.describe(q).Ends[0].SD, 1e-4)
}

// A ladder has to be better by 10, and no reading is known to better than 0.003 pH: by hand,
// 41 ln (0.003/0.02)² of a curve that fits.
func TestWhatSpeaksForALadder(t *testing.T) {
	p, q := acetic(t)
	assert.InDelta(t, 41*math.Log(0.15*0.15), p.fine(q), 1e-6)
	assert.False(t, spoken(100, 90.5))
	assert.True(t, spoken(100, 89.5))
}
