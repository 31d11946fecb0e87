package sim_test

import (
	"context"
	"math"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/sim"
)

func num(x float64) *float64 { return &x }

// plan is 20 mmol of Tris brought to pH 8.2 with 0.5 M acid.
func plan(t *testing.T) *recipe.Setup {
	t.Helper()
	s, err := recipe.Compile(recipe.Plan{
		Target:  recipe.Target{PH: num(8.2), Tolerance: num(0.02)},
		Beaker:  recipe.Beaker{StartML: num(160), FinalML: num(200), TempC: num(25)},
		Weighed: []recipe.Weighed{{Reagent: "Tris", MMol: num(20)}},
		Titrants: []recipe.Titrant{
			{Name: "acid", Reagent: "HCl", Molar: num(2), DropUL: num(50)},
			{Name: "base", Reagent: "NaOH", Molar: num(1), DropUL: num(50)},
		},
	})
	require.NoError(t, err)
	return s
}

func bench(t *testing.T, truth sim.Truth) *sim.Bench {
	t.Helper()
	b, err := sim.New(plan(t), truth)
	require.NoError(t, err)
	return b
}

// clean is a bench without any error: its settled readings are those of the model.
func clean() sim.Truth { return sim.Truth{Temp: 25, Decimals: 3, Tau: 5, Mixing: 2} }

func TestSettledReadingIsTheModels(t *testing.T) {
	setup, b := plan(t), bench(t, clean())
	m, err := chem.NewModel(25, setup.Systems())
	require.NoError(t, err)
	expect := func(s chem.Solution) float64 {
		c, err := m.Compose(s)
		require.NoError(t, err)
		e, err := m.Solve(&c)
		require.NoError(t, err)
		return e.PH
	}
	sol := setup.Beaker(25)
	assert.InDelta(t, expect(sol), b.True(), 1e-9)
	require.NoError(t, b.Dispense("acid", 100, 0))
	sol = chem.Mix(sol, setup.Stocks[0].PerLitre(25).Scale(100*50e-6))
	assert.InDelta(t, expect(sol), b.True(), 1e-4) // volumes do not quite add, water does
	assert.InDelta(t, expect(sol.MadeUpTo(0.2)), b.MadeUp(), 1e-4)
	b.Advance(200)
	assert.InDelta(t, b.True(), b.Shown(), 1e-6, "settled")
	assert.InDelta(t, b.True(), b.Read(), 0.0005+1e-9, "rounded to the third decimal")
}

// In a flat stretch of the curve, mixing and electrode are two first-order
// lags in a row, whose answer to a step is known in closed form.
func TestApproachIsTwoLags(t *testing.T) {
	const tau, mix = 5.0, 2.0
	b := bench(t, clean())
	require.NoError(t, b.Dispense("acid", 100, 0))
	b.Advance(500)
	from := b.True()
	require.NoError(t, b.Dispense("acid", 1, 0))
	to := b.True()
	require.Less(t, to, from-0.005)
	for _, s := range []float64{1, 2, 5, 10, 20, 40} {
		b.Advance(500 + s)
		left := (tau*math.Exp(-s/tau) - mix*math.Exp(-s/mix)) / (tau - mix)
		assert.InDelta(t, to+(from-to)*left, b.Shown(), 0.01*math.Abs(to-from), "after %g s", s)
	}
}

func TestSlowPartOfElectrode(t *testing.T) {
	truth := clean()
	truth.SlowShare, truth.SlowTau, truth.Before = 0.3, 60, 7
	b := bench(t, truth)
	end := b.True()
	for _, s := range []float64{1, 10, 100} {
		b.Advance(s)
		left := 0.7*math.Exp(-s/5) + 0.3*math.Exp(-s/60)
		assert.InDelta(t, end+(7-end)*left, b.Shown(), 1e-9)
	}
}

func TestMeterErrors(t *testing.T) {
	truth := clean()
	ph := bench(t, truth).True()
	truth.Offset, truth.Slope = 0.05, -0.02
	assert.InDelta(t, ph+0.05-0.02*(ph-7), bench(t, truth).True(), 1e-9)
}

func TestRetractTakesOutWhatWentIn(t *testing.T) {
	b := bench(t, sim.DefaultTruth(plan(t), 3))
	before, up := b.True(), b.MadeUp()
	require.NoError(t, b.Dispense("acid", 60, 3*chem.Millilitre))
	b.Advance(2)
	require.NoError(t, b.Dispense("base", 0, 0.7*chem.Millilitre))
	require.NoError(t, b.Retract("acid", 60, 3*chem.Millilitre))
	require.NoError(t, b.Retract("base", 0, 0.7*chem.Millilitre))
	assert.InDelta(t, before, b.True(), 1e-9)
	assert.InDelta(t, up, b.MadeUp(), 1e-9)
	b.Advance(6000) // the late part of the electrode takes its time
	assert.InDelta(t, before, b.Shown(), 1e-6)
	assert.ErrorIs(t, b.Retract("acid", 60, 3*chem.Millilitre), sim.ErrNothing)
	assert.ErrorIs(t, b.Dispense("lye", 1, 0), sim.ErrNoTitrant)
	assert.ErrorIs(t, b.Dispense("acid", 0, 0), sim.ErrAmount)
}

func TestScatterOfDrops(t *testing.T) {
	truth := clean()
	truth.Scatter, truth.Seed = 0.08, 5
	// In the flat middle of the curve pH moves in proportion to the dose.
	b := bench(t, truth)
	require.NoError(t, b.Dispense("acid", 100, 0))
	at, n := b.True(), 2000
	sum, sq := 0.0, 0.0
	for range n {
		require.NoError(t, b.Dispense("acid", 4, 0))
		d := b.True() - at
		require.NoError(t, b.Retract("acid", 4, 0))
		sum, sq = sum+d, sq+d*d
	}
	mean := sum / float64(n)
	rel := math.Sqrt(sq/float64(n)-mean*mean) / -mean
	assert.InDelta(t, 0.08/2, rel, 0.003, "four drops scatter half as much as one")
}

func TestSameSeedSameBench(t *testing.T) {
	story := func(seed uint64) (out []float64) {
		b := bench(t, sim.DefaultTruth(plan(t), seed))
		for s := range 40 {
			b.Advance(float64(s))
			if s == 10 {
				require.NoError(t, b.Dispense("acid", 30, 0))
			}
			out = append(out, b.Read())
		}
		return out
	}
	assert.Equal(t, story(1), story(1))
	assert.NotEqual(t, story(1), story(2))
}

func TestSpreadsAreThoseStated(t *testing.T) {
	setup, n := plan(t), 4000.0
	var drop, strength, amount, pk, tau float64
	for seed := range int(n) {
		d := sim.DefaultTruth(setup, uint64(seed))
		drop += d.LnDrop[0] * d.LnDrop[0]
		strength += d.LnStrength[1] * d.LnStrength[1]
		amount += d.LnAmount * d.LnAmount
		pk += d.PKShift["Tris"][0] * d.PKShift["Tris"][0]
		tau += d.Tau
		assert.True(t, d.Tau >= 3 && d.Tau <= 10 && d.Noise >= 0.002 && d.Noise <= 0.006)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"drop", drop, 0.10}, {"strength", strength, 0.04}, {"amount", amount, 0.015}, {"pK", pk, 0.03},
	} {
		assert.InEpsilon(t, c.want, math.Sqrt(c.got/n), 0.05, c.name)
	}
	assert.InEpsilon(t, 6.5, tau/n, 0.03)
}

func TestShiftedConstantMovesPH(t *testing.T) {
	truth := clean()
	b := bench(t, truth)
	truth.PKShift = map[string][]float64{"Tris": {0.1}}
	c := bench(t, truth)
	for _, x := range []*sim.Bench{b, c} {
		require.NoError(t, x.Dispense("acid", 100, 0))
	}
	assert.InDelta(t, 0.1, c.True()-b.True(), 0.001, "half neutralised, pH is pK")
}

func TestWarmTrisRisesWhenItCools(t *testing.T) {
	truth := clean()
	truth.Warm, truth.CoolTau, truth.TempSent = 10, 300, true
	b := bench(t, truth)
	require.NoError(t, b.Dispense("acid", 100, 0))
	b.Advance(0.5)
	warm, first := b.True(), b.Sample()
	b.Advance(3000)
	last := b.Sample()
	assert.Equal(t, 35.0, first.TempC)
	assert.Equal(t, 25.0, last.TempC)
	// −0.028 per °C is the usual figure for Tris (practice figure, seen).
	assert.InDelta(t, 0.28, b.True()-warm, 0.03)
	assert.InDelta(t, b.True(), b.Shown(), 0.002)
	assert.Regexp(t, `^pH \d+\.\d{3} 25\.0 C$`, last.Raw)
}

func TestNoAllocationsPerSecond(t *testing.T) {
	b := bench(t, sim.DefaultTruth(plan(t), 3))
	s := 0.0
	require.NoError(t, b.Dispense("acid", 30, 0))
	assert.Zero(t, testing.AllocsPerRun(200, func() {
		s++
		b.Advance(s)
		b.Read()
	}))
}

func TestSourceInScaledTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := bench(t, sim.DefaultTruth(plan(t), 3))
		clock := sim.NewClock(10)
		src := b.Source(clock, time.Second)
		ctx, cancel := context.WithCancel(context.Background())
		out, done := make(chan meter.Report), make(chan error, 1)
		go func() { done <- src.Run(ctx, out) }()
		first := <-out
		assert.Equal(t, meter.GotLink, first.Kind)
		assert.Equal(t, meter.Live, first.Link)
		began := time.Now()
		var got []meter.Reading
		for len(got) <= 20 {
			r := <-out
			require.Equal(t, meter.GotReading, r.Kind)
			got = append(got, r.Reading)
			if len(got) == 11 {
				assert.InDelta(t, 10, clock.Seconds(), 0.001)
				require.NoError(t, b.Dispense("acid", 100, 0))
				clock.Pause()
				time.Sleep(time.Minute)
				assert.InDelta(t, 10, clock.Seconds(), 0.001)
				clock.Resume()
			}
		}
		assert.InDelta(t, 2, (time.Since(began) - time.Minute).Seconds(), 0.01, "twenty seconds ten times as fast")
		assert.Less(t, got[20].Value, got[10].Value-0.3)
		assert.Equal(t, 10*time.Second, got[20].At.Sub(got[10].At).Round(time.Millisecond))
		cancel()
		assert.ErrorIs(t, <-done, context.Canceled)
	})
}

func BenchmarkSecond(b *testing.B) {
	setup, err := recipe.Compile(recipe.Plan{
		Target:   recipe.Target{PH: num(8.2)},
		Beaker:   recipe.Beaker{StartML: num(160), FinalML: num(200)},
		Weighed:  []recipe.Weighed{{Reagent: "Tris", MMol: num(20)}},
		Titrants: []recipe.Titrant{{Name: "acid", Reagent: "HCl", Molar: num(2)}},
	})
	require.NoError(b, err)
	x, err := sim.New(setup, sim.DefaultTruth(setup, 1))
	require.NoError(b, err)
	s := 0.0
	b.ReportAllocs()
	for b.Loop() {
		if s++; math.Mod(s, 40) == 1 {
			require.NoError(b, x.Dispense("acid", 1, 0))
		}
		x.Advance(s)
		x.Read()
	}
}

func TestNeedLeadsToTheGoal(t *testing.T) {
	for seed := range uint64(20) {
		truth := sim.DefaultTruth(plan(t), seed)
		truth.Scatter, truth.Poured = 0, 0
		b := bench(t, truth)
		need := b.Need("acid", 8.1)
		require.NoError(t, b.Dispense("acid", need/50e-6, 0))
		assert.InDelta(t, 8.1, b.MadeUp(), 1e-6)
		assert.InDelta(t, 0, b.Need("acid", b.MadeUp()-1e-9), 1e-8)
		assert.True(t, math.IsNaN(b.Need("acid", 8.2)), "acid does not raise pH")
		assert.True(t, math.IsNaN(b.Need("nothing", 8.2)))
	}
}

// What is taken back as never made leaves no trace: the next addition draws the
// same drops as it would have drawn without it.
func TestUnmadeDrawsNothing(t *testing.T) {
	truth := sim.DefaultTruth(plan(t), 5)
	plain, undone := bench(t, truth), bench(t, truth)
	require.NoError(t, undone.Dispense("acid", 7, 0))
	require.NoError(t, undone.Dispense("acid", 1, 0))
	require.NoError(t, undone.Unmake("acid", 1, 0))
	require.NoError(t, undone.Unmake("acid", 7, 0))
	for _, b := range []*sim.Bench{plain, undone} {
		require.NoError(t, b.Dispense("acid", 6, 0))
		b.Advance(100)
	}
	assert.InDelta(t, plain.True(), undone.True(), 1e-9)
}

// A slope that bends at pH 7 is wrong on the basic side only, and what is needed
// to bring the meter to a pH knows of it.
func TestBend(t *testing.T) {
	truth := clean()
	truth.Bend = -0.05
	b := bench(t, truth)
	assert.InDelta(t, b.Beaker()-0.05*(b.Beaker()-7), b.True(), 1e-9)
	v := b.Need("acid", 8.2)
	require.NoError(t, b.Dispense("acid", 0, chem.Volume(v)))
	assert.InDelta(t, 8.2, b.MadeUp(), 1e-3)
}
