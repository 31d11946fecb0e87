package find

import (
	"math"
	"slices"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The figures of judgement of this room, each held from both sides: by worked numbers where
// there are some, else by the step at which the answer changes.

// acetic is 2.5 mmol of acetic acid in 50 mL of water, and 0.1 mol/L of NaOH in a burette:
// 25 mL lead to its point.
func acetic(t *testing.T) *Bench { return titratedWith(t, "NaOH") }

// titratedWith is the same with another bottle of 0.1 mol/L.
func titratedWith(t *testing.T, titrant string) *Bench {
	t.Helper()
	acid, err := table.ByAmount("acetic acid")
	require.NoError(t, err)
	base, err := table.ByAmount(titrant)
	require.NoError(t, err)
	content, litre := acid.Dissolved(2.5*chem.Millimole), base.Dissolved(chem.Amount(0.1))
	var systems []*chem.System
	for _, s := range chem.Mix(content, litre).Systems {
		systems = append(systems, s.System)
	}
	m, err := chem.NewModel(25, systems)
	require.NoError(t, err)
	dry, err := m.Compose(content)
	require.NoError(t, err)
	dry.Water = 0
	per, err := m.Compose(chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 25}, litre.At(25)))
	require.NoError(t, err)
	return &Bench{Temp: 25, Systems: m.Systems(), Water: chem.Composition{Water: 0.05},
		Parts:  []Part{{Name: "acetic acid", Dry: dry, Moles: 2.5e-3, SD: 0.1}},
		Stocks: []Stock{{Name: titrant, PerLitre: per, Molar: 0.1, Step: 0.05e-3, By: Burette, SizeSD: 0.001, ReadSD: 0.015e-3, StrengthSD: 0.001}},
		What:   Amount, Goal: 0.02, Start: 0.05, Vessel: 0.15, ShiftSD: 0.03, SlopeSD: 0.01, BendSD: 0.008}
}

// begun is what is believed of it after a reading before anything was added.
func begun(t *testing.T, b *Bench) *Belief {
	t.Helper()
	bel, err := b.Believe(coach.History{Observations: []coach.Observation{{PH: b.Forecast().Start, SD: 0.004}}})
	require.NoError(t, err)
	return bel
}

func TestWhatIsReadable(t *testing.T) {
	for name, c := range map[string]struct {
		now  coach.Present
		want bool
	}{
		"at rest":              {coach.Present{Settled: true, SD: 0.29}, true},
		"useless":              {coach.Present{Settled: true, SD: 0.31}, false},
		"stands, useless":      {coach.Present{Stands: true, SD: 0.31}, false},
		"moving":               {coach.Present{SD: 0.01, Age: 115}, false},
		"long, near":           {coach.Present{SD: 0.055, PH: 7, Shown: 7.055, Age: 125}, true},
		"long, vague":          {coach.Present{SD: 0.065, PH: 7, Shown: 7, Age: 125}, false},
		"long, far from there": {coach.Present{SD: 0.01, PH: 7, Shown: 7.065, Age: 125}, false},
	} {
		assert.Equal(t, c.want, readable(c.now), name)
	}
	a, plan := acetic(t).Consider(coach.Request{})
	assert.Equal(t, coach.Wait, a.Do)
	assert.Equal(t, 0.5, a.Tolerance, "the width of a point on a lane")
	assert.Nil(t, plan)
}

func TestWhatMisfits(t *testing.T) {
	of := func(misfit float64, n int) *Belief { return &Belief{Misfit: misfit, lv: make([]level, n)} }
	assert.False(t, of(15.5, 3).wrong())
	assert.True(t, of(16.5, 3).wrong())
	assert.False(t, of(16.5, 2).wrong())
	assert.False(t, of(1.9, 3).astray())
	assert.True(t, of(2.1, 3).astray())
	assert.False(t, of(2.1, 2).astray())
	assert.False(t, of(3.9, 4).mayHoldOdd())
	assert.True(t, of(4.1, 4).mayHoldOdd())
	assert.False(t, of(4.1, 3).mayHoldOdd())
	assert.True(t, of(4.1, 40).mayHoldOdd())
	assert.False(t, of(4.1, 41).mayHoldOdd())
	assert.True(t, of(1, 10).betterThan(of(2.65, 10)), "χ² falls by 16.5")
	assert.False(t, of(1, 10).betterThan(of(2.55, 10)), "by 15.5")
	assert.True(t, of(3.9, 10).betterThan(of(9, 10)))
	assert.False(t, of(4.1, 10).betterThan(of(9, 10)), "it is not that one alone")
}

// What an addition tells has to be 4 % of the spread, and is judged by the time: 40 s to a
// rest, and 0.6 s a drop, or 5 s to set and read a burette and 2 s a mL.
func TestWhatAnAdditionIsWorth(t *testing.T) {
	assert.False(t, (&option{gain: math.Log(1.03)}).worth())
	assert.True(t, (&option{gain: math.Log(1.05)}).worth())
	assert.InDelta(t, 40+0.6*30, (&Stock{By: Drops, Step: 0.05e-3}).takes(30), 1e-9)
	assert.InDelta(t, 40+5+2*1.5, (&Stock{By: Burette, Step: 0.05e-3}).takes(30), 1e-9)
	bel := begun(t, acetic(t))
	rd := bel.roadOf(0)
	f := bel.Found()
	o, ok := bel.weigh(&rd, 0, 400, &f)
	require.True(t, ok)
	assert.InDelta(t, o.gain/(45+2*20), o.rate, 1e-9)
}

// A reading to come is known to 0.004 pH, and to 2 % of the step to it. By hand, of 0.15 pH:
// √(0.004² + 0.003²) = 0.005.
func TestAReadingToCome(t *testing.T) {
	assert.InDelta(t, 0.005, toCome(-0.15), 1e-12)
}

// What is better than seven tenths of the spread wanted does not count: 10 % known now, 8 %
// wanted, a reading that tells all of it gains ln(10/5.6), be it of an amount or of a pK.
func TestWhatIsBetterThanWantedDoesNotCount(t *testing.T) {
	b := acetic(t)
	b.Goal = 0.08
	bel := begun(t, b)
	rd := bel.roadOf(0)
	f := bel.Found()
	require.Greater(t, f.Relative(), 0.07)
	o, ok := bel.weigh(&rd, 0, 520, &f)
	require.True(t, ok)
	assert.InDelta(t, math.Log(f.Relative()/(0.7*0.08)), o.gain, 0.01)

	i := slices.IndexFunc(b.Systems, func(s *chem.System) bool { return s.Name == "acetate" || s.Name == "acetic acid" })
	require.GreaterOrEqual(t, i, 0)
	b = acetic(t)
	b.What, b.PKs, b.Goal, b.GoalPK = Constant, []PK{{System: i, SD: 0.3}}, 1, 0.14
	bel = begun(t, b)
	rd = bel.roadOf(0)
	f = bel.Found()
	require.Greater(t, f.PKSD, 0.1)
	o, ok = bel.weigh(&rd, 0, 250, &f)
	require.True(t, ok)
	assert.InDelta(t, math.Log(f.PKSD/(0.7*0.14))/2, o.gain, 0.005)
}

func TestWhenItIsEnough(t *testing.T) {
	assert.False(t, (&Found{Passed: true}).sided(3))
	assert.True(t, (&Found{Passed: true}).sided(4))
	assert.False(t, (&Found{What: Blank}).sided(2))
	assert.True(t, (&Found{What: Blank}).sided(3))
	assert.True(t, (&Found{Value: 1, SD: 0.0104, Goal: 0.01}).AsGood())
	assert.False(t, (&Found{Value: 1, SD: 0.0106, Goal: 0.01}).AsGood())
}

// Places along the road lie a quarter of a pH apart; close to a point they lie at spreads of
// it, which count as a fifth of its volume at most.
func TestPlacesToThinkOf(t *testing.T) {
	bel := &Belief{bench: &Bench{Stocks: []Stock{{Step: 0.1e-3}}}, hist: coach.History{}}
	road := func(step float64, vols ...float64) *road {
		r := &road{}
		for i, v := range vols {
			r.rows = append(r.rows, milestone{vol: v * 1e-3, ph: 4 + step*float64(i)})
		}
		return r
	}
	none := &Found{}
	assert.Equal(t, []float64{10, 20, 30, 40, 50}, bel.counts(road(0.26, 1, 2, 3, 4, 5), 0, 1, none, -1))
	assert.Equal(t, []float64{10, 30, 50}, bel.counts(road(0.24, 1, 2, 3, 4, 5), 0, 1, none, -1))
	one := &Found{What: Amount, Goal: 0.01, Stations: []Station{{Volume: 10e-3, SD: 10e-3}}}
	assert.Equal(t, []float64{40, 60, 80, 90, 100, 110, 120, 140, 160}, bel.counts(road(1), 0, 1, one, -1))
	// As the main point: to 1.6 of it, but 1.6 spreads before it while it is not known to 1.5
	// times what is wanted. By hand: 10 mL × exp(−1.6 × 0.016) = 9.7 mL.
	one.Stations[0].SD = 0.14e-3
	list := bel.counts(road(1, 15.5, 16.5), 0, 1, one, 0)
	assert.Contains(t, list, 155.0)
	assert.NotContains(t, list, 165.0)
	one.Stations[0].SD = 0.16e-3
	list = bel.counts(road(1, 15.5, 16.5), 0, 1, one, 0)
	assert.Equal(t, 97.0, slices.Max(list))
	one.Stations[0].SD = 1e-3 // 8.5 mL
	assert.Equal(t, 85.0, slices.Max(bel.counts(road(1), 0, 1, one, 0)))
}

// A step of the fit goes no further than its law may be trusted.
func TestStepsOfTheFit(t *testing.T) {
	x := make([]float64, 5)
	next := []float64{iExcess: 3, 4: 2}
	bel := &Belief{x: x}
	bel.move(append(next[:4:4], 2))
	assert.InDelta(t, 0.7, bel.x[4], 1e-9)
	bel = &Belief{x: make([]float64, 5)}
	bel.move([]float64{iSlope: 0.5, 4: 0})
	assert.InDelta(t, 0.1, bel.x[iSlope], 1e-9)
}

// A constant of which nothing is known, to half a pK, is begun at seven places within two
// spreads of it.
func TestWhereAFitBegins(t *testing.T) {
	b := acetic(t)
	b.PKs = []PK{{SD: 0.45}}
	assert.Len(t, b.starts(), 1)
	b.PKs[0].SD = 0.55
	list := b.starts()
	require.Len(t, list, 7)
	assert.InDelta(t, -1.1, list[1][b.iPK(0)], 1e-9)
	assert.InDelta(t, 1.1, list[6][b.iPK(0)], 1e-9)
}

// By hand: a reading of ± 0.003 pH scatters by √(0.003² + 0.004²) = 0.005 pH besides, and no
// balance of 0.05 kg of water is known to better than 2·10⁻⁶ mol/kg, that of a blank to 7·10⁻⁶.
func TestWhatABalanceIsKnownTo(t *testing.T) {
	b := acetic(t)
	assert.InDelta(t, 0.005*2+1e-10/2, math.Sqrt(b.own(&level{slope: -2}, 0.003)), 1e-9)
	assert.InDelta(t, 1e-7, math.Sqrt(b.own(&level{}, 0)), 1e-15)
	_, v := b.prior()
	assert.InDelta(t, 7e-7, math.Sqrt(v[iExcess]), 1e-12, "1.4·10⁻⁵ mol/kg of carbon dioxide")
	b.What = Blank
	assert.InDelta(t, 3.5e-7, math.Sqrt(b.own(&level{}, 0)), 1e-15)
	_, v = b.prior()
	assert.InDelta(t, 1e-4, math.Sqrt(v[iExcess]), 1e-6, "a mL of 0.1 mol/L")
	// exp(−½) of it is common to two readings a pH apart.
	assert.InDelta(t, 0.008*0.008*math.Exp(-0.5), b.bend(&level{shown: 4, slope: -1}, &level{shown: 5, slope: -1}), 1e-9)
	// A drop of 50 µL scatters by 5 %: a hundred by 25 µL.
	assert.InDelta(t, 25e-6, math.Sqrt((&Stock{By: Drops, Step: 0.05e-3}).scatter(coach.Addition{Drops: 100})), 1e-9)
}

// A strength that was found is never known to better than 10⁻⁴, nor a carbonate to 10⁻⁵.
func TestNothingIsKnownForSure(t *testing.T) {
	b := acetic(t)
	b.Stocks[0].Carbonate = 0.01
	b.Know(0, Known{SD: 1e-9, CarbonSD: 1e-9})
	assert.Equal(t, 1e-4, b.Stocks[0].StrengthSD)
	assert.Equal(t, 1e-5, b.Stocks[0].CarbonSD)
}

// From a drop that is known to 2 % on, what is not known of a strength is its doing.
func TestWhoseDoingAStrengthIs(t *testing.T) {
	for sd, cause := range map[float64]Cause{0.019: OfPH, 0.021: OfSize} {
		b := acetic(t)
		b.What, b.Stocks[0].SizeSD = Strength, sd
		sum := map[Cause]float64{}
		(&Belief{bench: b}).charge(sum, b.iStrength(0), 1)
		assert.Equal(t, map[Cause]float64{cause: 1}, sum, "%g", sd)
	}
}

// An order stands while what would be ordered now is half to twice as much.
func TestAnOrderStands(t *testing.T) {
	a := coach.Advice{Do: coach.Add, Stock: 1, Drops: 10}
	for drops, want := range map[float64]bool{4.8: false, 5.2: true, 19.5: true, 20.5: false} {
		assert.Equal(t, want, stands(a, 1, drops), "%g", drops)
	}
	assert.False(t, stands(a, 0, 10))
	assert.True(t, stands(coach.Advice{Do: coach.Wait}, 1, 10))
	assert.False(t, stands(coach.Advice{Do: coach.Stop}, 1, 10))
}

// A blank is read in steps of 0.05 mL or more, and judged by one of two drops.
func TestABlankAsPlanned(t *testing.T) {
	b := acetic(t)
	b.What, b.Parts, b.Goal = Blank, nil, 1e-5
	b.Stocks[0].Step = 0.01e-3
	assert.InDeltaSlice(t, []float64{0, 0.05e-3, 0.1e-3, 0.2e-3}, b.blankPlaces(), 1e-12)
	b.Stocks[0].Step = 0.08e-3
	assert.InDelta(t, 0.08e-3, b.blankPlaces()[1], 1e-12)
	f, err := b.Best()
	require.NoError(t, err)
	assert.InDelta(t, 0.1e-3, f.Value, 0.01e-3)
}

// A capacity that is higher by 1/0.7 on both sides dips: 1 between 1.5, not between 1.35.
func TestWhatDips(t *testing.T) {
	of := func(left, right float64) bool {
		r := road{}
		for _, c := range []float64{left, 1, right} {
			r.rows = append(r.rows, milestone{lv: level{slope: -c}})
		}
		return r.dips(1)
	}
	assert.True(t, of(1.5, 1.5))
	assert.False(t, of(1.35, 1.5))
	assert.False(t, of(1.5, 1.35))
}

// How sharp a point is, is what the pH goes by from 5 % before it to 5 % after: of acetic
// acid from pK + log 19 = 6.0 to where 1.25 mL of 0.1 mol/L are in 76 mL, pOH 2.8.
func TestHowSharpAPointIs(t *testing.T) {
	b := acetic(t)
	bel := begun(t, b)
	st := bel.Stations()
	require.Len(t, st, 1)
	assert.InDelta(t, 25, st[0].Volume.Millilitres(), 0.05)
	assert.InDelta(t, 11.2-6.0, st[0].Sharp, 0.15)
}

// Gran's functions take stretches of the curve: 40 to 97 % of the way to the point before
// it, and 1 to 60 % beyond.
func TestStretchesForGran(t *testing.T) {
	const start, point = 50.0, 20.0
	weak := func(ml float64) Dot { return Dot{ml, 7 - math.Log10(1e-3*(point-ml)/ml)} }
	past := func(ml float64) Dot { return Dot{ml, 7 + math.Log10(1e-3*(ml-point)/(start+ml))} }
	off := func(ml float64) Dot { return Dot{ml, 12} }
	near := Near{ML: point, Start: start}
	c := Classical([]Dot{off(7.8), weak(8.2), weak(12), weak(19.3), off(19.5)}, near, false)
	assert.InDelta(t, point, c.Before, 1e-6)
	c = Classical([]Dot{off(7.8), weak(8.2), weak(9), off(19.5)}, near, false)
	assert.True(t, math.IsNaN(c.Before), "within a tenth of the way they say nothing")
	c = Classical([]Dot{weak(17.2), weak(19.3)}, near, false)
	assert.InDelta(t, point, c.Before, 1e-6, "2.1 mL apart they do")
	c = Classical([]Dot{weak(17.4), weak(19.3)}, near, false)
	assert.True(t, math.IsNaN(c.Before), "1.9 mL apart they do not")
	c = Classical([]Dot{{20.1, 2}, past(20.3), past(24), past(31.5), {32.5, 7}}, near, false)
	assert.InDelta(t, point, c.After, 1e-6)
	// Up to a second point: from 3 % of the way to it on, as long as 40 % is still to go.
	near.Next = 40
	between := func(ml float64) Dot { return Dot{ml, 7 + math.Log10(1e-3*(ml-point)/(near.Next-ml))} }
	c = Classical([]Dot{off(20.5), between(20.7), between(31.8), {32.2, 13}}, near, false)
	assert.InDelta(t, point, c.After, 1e-6)
}

// A steepest place is looked for within a quarter of the volume.
func TestWhereASteepestPlaceIsLookedFor(t *testing.T) {
	near := Near{ML: 20, Start: 50}
	list := func(at float64) []Dot {
		return []Dot{{10, 4}, {at - 0.1, 4.1}, {at + 0.1, 8}, {28, 8.1}}
	}
	assert.InDelta(t, 24.8, Classical(list(24.8), near, false).Steepest, 1e-9)
	assert.NotEqual(t, 25.2, Classical(list(25.2), near, false).Steepest)
}

// A reading that is left aside counts as one of ± 1 pH.
func TestWhatIsLeftAsideCountsLittle(t *testing.T) {
	b := acetic(t)
	rd := begun(t, b).roadOf(0)
	var h coach.History
	for i, ml := range []float64{0, 5, 10, 15, 20, 23} {
		if i > 0 {
			h.Additions = append(h.Additions, coach.Addition{Volume: chem.Volume(ml*1e-3) - chem.Volume(b.volumes(h.Additions, i)[0])})
		}
		m, ok := rd.at(ml * 1e-3)
		require.True(t, ok)
		h.Observations = append(h.Observations, coach.Observation{After: i, PH: m.shown, SD: 0.003})
	}
	h.Observations[2].PH += 0.8
	bel, err := b.Believe(h)
	require.NoError(t, err)
	require.Equal(t, 3, bel.Odd)
	assert.Equal(t, 1.0, bel.hist.Observations[2].SD)
}

// Roads lead from pH 1.6 to 12.6.
func TestHowFarRoadsLead(t *testing.T) {
	last := func(titrant string) float64 {
		rd := begun(t, titratedWith(t, titrant)).roadOf(0)
		return rd.rows[len(rd.rows)-1].ph
	}
	assert.InDelta(t, 12.6, last("NaOH"), 0.051)
	assert.InDelta(t, 1.6, last("HCl"), 0.001)
}

// A point is one where the pH leaps by a quarter, and a mean charge within 0.3 of a whole
// number is that of a form.
func TestWhatIsAPoint(t *testing.T) {
	assert.False(t, (&Station{Sharp: 0.24}).leaps())
	assert.True(t, (&Station{Sharp: 0.26}).leaps())
	for z, want := range map[float64]bool{-1.28: false, -1.32: true, 0.68: true, 0.72: false} {
		assert.Equal(t, want, between(z), "%g", z)
	}
}
