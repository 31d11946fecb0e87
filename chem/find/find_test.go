package find_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
)

// exact is a run of ten readings on the bench of the trial, without any error.
func exact(t *testing.T, change func(*find.Bench)) (*find.Bench, coach.History) {
	t.Helper()
	g := games()[0]
	g.kit.change = func(b *find.Bench) {
		b.Stocks[0].StrengthSD = 0.1
		if change != nil {
			change(b)
		}
	}
	w := g.draw(t, 1)
	w.tr = truth{part: 1, strength: 1, size: 1, dpk: make([]float64, 4)}
	w.zero = 0
	var h coach.History
	for i, ml := range []float64{0, 5, 12, 20, 23, 24.5, 24.9, 25.2, 26, 28} {
		if i > 0 {
			step := ml/1e3 - w.true_
			h.Additions = append(h.Additions, coach.Addition{Volume: chem.Volume(step)})
			w.true_ = ml / 1e3
		}
		h.Observations = append(h.Observations, coach.Observation{After: i, PH: w.flask().ph(), SD: 0.003})
	}
	return w.b, h
}

func answer(t *testing.T, b *find.Bench, h coach.History) find.Found {
	t.Helper()
	bel, err := b.Believe(h)
	require.NoError(t, err)
	return bel.Found()
}

// 2.500 mmol of phthalate and 0.1000 M base: 25.00 mL.
func TestAnExactRun(t *testing.T) {
	b, h := exact(t, nil)
	f := answer(t, b, h)
	t.Logf("%.5f ± %.5f, misfit %.2f, %v", f.Value, f.SD, f.Misfit, f.Causes)
	assert.InDelta(t, 0.1, f.Value, f.SD)
	assert.Less(t, f.Relative(), 0.002)
	require.Len(t, f.Stations, 1)
	assert.InDelta(t, 25.00, f.Stations[0].Volume.Millilitres(), 2*f.Stations[0].SD.Millilitres())
	assert.InDelta(t, 8.6, f.Stations[0].PH, 0.3, "phenolphthalein, by every handbook")
	assert.Less(t, f.Misfit, 1.5)

	sum := 0.0
	for _, c := range f.Causes {
		sum += c.SD * c.SD
	}
	assert.InDelta(t, f.Relative(), math.Sqrt(sum), 0.02*f.Relative(), "the causes are all of the spread")
}

// A blank of 0.10 mL is taken off: 25.00 mL then speak for 24.90 mL, and for a
// strength that is greater in this ratio. Its spread is a part of that of the answer.
func TestABlankIsTakenOff(t *testing.T) {
	plain, h := exact(t, nil)
	with, _ := exact(t, func(b *find.Bench) { b.Blank, b.BlankSD = 0.10e-3, 0.02e-3 })
	before, after := answer(t, plain, h), answer(t, with, h)
	assert.InDelta(t, 25.00/24.90, after.Value/before.Value, 0.0006)
	assert.Greater(t, after.SD, before.SD)
}

// A reading that was not at rest is left aside, and the answer stays.
func TestAnOddReadingIsLeftAside(t *testing.T) {
	b, h := exact(t, nil)
	right := answer(t, b, h)
	h.Observations = append([]coach.Observation(nil), h.Observations...)
	h.Observations[2].PH += 0.8
	f := answer(t, b, h)
	assert.Equal(t, 3, f.Odd)
	assert.InDelta(t, right.Value, f.Value, right.SD)
	assert.Zero(t, right.Odd)
}

// Of readings that fit no strength of the bottle the advice says so, and goes on when
// a person has looked.
func TestAMisfitIsAskedAbout(t *testing.T) {
	b, h := exact(t, nil)
	for i := range h.Observations {
		h.Observations[i].PH += 0.5 * math.Pow(-1, float64(i))
	}
	n := len(h.Observations) - 1
	now := h.Observations[n]
	h.Observations = h.Observations[:n]
	r := coach.Request{History: h, Now: coach.Present{PH: now.PH, SD: 0.003, FinalSD: 0.003, Shown: now.PH, Settled: true, Age: 60}}
	a := b.Advise(r)
	assert.Equal(t, coach.Check, a.Do)
	assert.Equal(t, coach.Misfit, a.Reason)
	r.Confirmed = []string{coach.Misfit.String()}
	assert.NotEqual(t, coach.Misfit, b.Advise(r).Reason)
}

// Nothing is ordered on a reading that is not at rest, and the first addition stays
// before the equivalence point as far as it is known.
func TestTheFirstAdditionStaysBefore(t *testing.T) {
	b, h := exact(t, nil)
	r := coach.Request{Now: coach.Present{PH: h.Observations[0].PH, SD: 0.02, FinalSD: 0.004, Shown: h.Observations[0].PH, Age: 8}}
	assert.Equal(t, coach.Wait, b.Advise(r).Do)
	r.Now.Settled = true
	a := b.Advise(r)
	require.Equal(t, coach.Add, a.Do)
	assert.Equal(t, coach.Tells, a.Reason)
	assert.Less(t, a.Volume.Millilitres(), 25*math.Exp(-0.1))
	assert.Greater(t, a.Volume.Millilitres(), 15.0)
	assert.Less(t, a.Low, a.After)
	assert.Greater(t, a.High, a.After)
}

// A bottle that is far stronger than its label leads past the point with the first
// addition. That run can come to no better answer, and says so: it is no full vessel.
func TestAPassedPointIsAnEnd(t *testing.T) {
	g := games()[0]
	w := g.draw(t, 1)
	w.tr.strength = 1.32
	o := w.coached()
	assert.Equal(t, coach.AsGood, o.reason)
	assert.InDelta(t, 0, o.truly, 3*o.rel)
	assert.Greater(t, o.rel, w.b.Goal)
}

func BenchmarkAdvise(b *testing.B) {
	g := games()[0]
	w := g.draw(b, 3)
	for range 5 {
		now := w.read()
		w.obs = append(w.obs, coach.Observation{After: len(w.adds), PH: now.PH, SD: now.SD})
		w.add(80)
	}
	r := coach.Request{History: coach.History{Additions: w.adds, Observations: w.obs}, Now: w.read()}
	for b.Loop() {
		w.b.Advise(r)
	}
}
