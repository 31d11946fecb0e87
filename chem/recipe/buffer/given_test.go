package buffer_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// trisAt examines 50 mM of Tris that is brought to a pH in use.
func trisAt(t *testing.T, ph float64, change func(*buffer.Demand)) *buffer.Exam {
	tris, err := table.ByAmount("Tris")
	require.NoError(t, err)
	d := buffer.NewDemand(ph)
	d.Volume = 1
	if change != nil {
		change(&d)
	}
	e, err := buffer.Examine(d, tris.Dissolved(chem.Amount(0.05*d.Times)), []table.Reagent{tris})
	require.NoError(t, err)
	return e
}

// What is brought to its pH is so as a stock and at the bench as well: Tris moves
// by -0.031 per °C from 4 to 25 °C (Bates & Hetzer, J. Phys. Chem. 65, 667
// (1961): pK 8.696 at 5, 8.072 at 25 °C, with the ionic strength alike), and its
// tenfold stock is a tenth or two from it.
func TestWhatIsBroughtIsSoInTheStock(t *testing.T) {
	cold := trisAt(t, 7.5, func(d *buffer.Demand) { d.Use = 4 })
	assert.InDelta(t, 7.5-(8.696-8.072)*21/20, cold.FixedAtBench.PH, 0.04)
	assert.Greater(t, cold.AtBench.PH, 10.0, "before that")
	stock := trisAt(t, 7.6, func(d *buffer.Demand) { d.Times = 10 })
	assert.InDelta(t, 7.7, stock.FixedStronger.PH, 0.1)
	assert.Greater(t, stock.Stronger.PH, 10.0, "before that")
}

// The share of a one-pKa maximum is 4x/(1+x)² with x = 10^(pH − pK′), pK′ 8.15
// here: 0.105 at 6.57, 0.095 at 6.52.
func TestWhatHardlyBuffersIsSaid(t *testing.T) {
	for _, tc := range []struct {
		ph   float64
		weak bool
	}{{8, false}, {6.8, false}, {6.62, false}, {6.45, true}, {6, true}, {12, true}} {
		e := trisAt(t, tc.ph, nil)
		assert.Equal(t, tc.weak, e.Weak != nil, "pH %g", tc.ph)
		if e.Weak != nil {
			x := math.Pow(10, tc.ph-8.15)
			assert.InDelta(t, 4*x/(1+x)/(1+x), e.Weak.Share, 0.006)
			assert.Equal(t, "Tris", e.Weak.System)
			assert.InDeltaSlice(t, []float64{8.07}, e.Weak.PKs, 0.01)
		}
	}
}

// Salts with a pK far away, as sulfate and ammonium, are no buffer that fails.
func TestSaltsAreNoWeakBuffer(t *testing.T) {
	r, err := written.Read("50 mM Tris; 200 mM Na2SO4; 60 mM NH4Cl", chem.Litre)
	require.NoError(t, err)
	d := buffer.NewDemand(7.2)
	d.Volume = 1
	var s chem.Solution
	for _, p := range r.Parts {
		s = chem.Mix(s, p.Reagent.Dissolved(p.Amount))
	}
	e, err := buffer.Examine(d, s, nil)
	require.NoError(t, err)
	assert.Nil(t, e.Weak)
}

// What cannot be is said where it was asked for, in a unit that is true: 6.16 mol
// of NaCl per kg of water at 25 °C are 5.4 mol/L (CRC Handbook, from memory), so
// that "only 6200 mM" beside 6 M would be a riddle.
func TestTooMuchIsSaidWhereItWasAsked(t *testing.T) {
	with := func(name, text string, times, mM float64) string {
		d := buffer.NewDemand(8)
		d.Buffer, d.Times, d.Molar, d.Volume = name, times, chem.Molarity(mM/1e3), 0.5
		r, err := written.Read(text, d.Volume*chem.Volume(times))
		require.NoError(t, err)
		d.With = r.Ingredients()
		list, err := buffer.Rank(d)
		if err == nil {
			_, err = prepare.For(d, list[0])
		}
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, text)
		return bad[0].Field + ": " + bad[0].What + " / " + bad[0].Hint
	}
	assert.Regexp(t, `^with: .*7 mol per kg of water, and only about 6.2 dissolves`, with("Tris", "NaCl 6 M", 1, 50))
	assert.Regexp(t, `^strength: .*/ make a weaker stock`, with("Tris", "NaCl 150 mM", 100, 50))
	assert.Regexp(t, `^mM: .*what is weighed takes up`, with("HEPES", "NaCl 10 mM", 1, 3000))
}

// Where the hydroxide holds a pH by itself, a buffer is not said to be far from it:
// at pH 12 10 mM of OH⁻ give 23 mM per pH and more, 50 mM of phosphate at its pK 29
// at the most, and at 0.2 from it less.
func TestWaterHoldsThePHBetter(t *testing.T) {
	d := buffer.NewDemand(12)
	d.Buffer, d.Molar = "phosphate", 0.05
	_, err := buffer.Rank(d)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Equal(t, "mM", bad[0].Field)
	assert.Contains(t, bad[0].What, "free base holds the pH better")
	d.Molar = 0.1
	_, err = buffer.Rank(d)
	require.NoError(t, err)
	d.PH = 13
	_, err = buffer.Rank(d)
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad[0].What, "away from pH 13")
}

// What is too far from its pKa′ is told so by figures that bear it out: 1.02 is not 1.0, and pH 7.20
// does not lie between 5.2 and 7.2. What is 1.00 away, as it is printed, is planned.
func TestTooFarIsFartherThanOne(t *testing.T) {
	d := buffer.NewDemand(7.2)
	d.Buffer, d.Molar = "cacodylate", 0.1
	_, err := buffer.Rank(d)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad[0].What, "nearest pKa′ at 6.18, 1.02 away from pH 7.2")
	assert.Contains(t, bad[0].Hint, "it buffers pH 5.18 to 7.18")
	d.Molar = 0.05
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	assert.InDelta(t, 1.002, list[0].Distance, 0.001)
}

// The disodium salt of EDTA dissolves to about 0.3 mol/L by itself, and to 0.5 near
// pH 8 (common practice, no source).
func TestWhatDissolvesOnItsWay(t *testing.T) {
	edta, err := table.ByAmount("EDTA disodium salt")
	require.NoError(t, err)
	for molar, slow := range map[float64]bool{0.2: false, 0.5: true} {
		d := buffer.NewDemand(8)
		d.Volume = 1
		e, err := buffer.Examine(d, edta.Dissolved(chem.Amount(molar)), []table.Reagent{edta})
		require.NoError(t, err)
		require.NotNil(t, e.Fixed)
		assert.Equal(t, slow, e.First != nil, "%g mol/L", molar)
	}
}

// A stock may precipitate though what is made of it stays clear: saline with calcium
// is made from two stocks (common practice, no source).
func TestAStockIsLookedAt(t *testing.T) {
	r, err := written.Read("NaCl 137 mM, Na2HPO4 8 mM, KH2PO4 2 mM, CaCl2 0.5 mM", chem.Litre)
	require.NoError(t, err)
	for times, out := range map[float64]bool{1: false, 10: true} {
		d := buffer.NewDemand(math.NaN())
		d.Volume, d.Times = chem.Litre/chem.Volume(times), times
		var s chem.Solution
		for _, p := range r.Parts {
			s = chem.Mix(s, p.Reagent.Dissolved(p.Amount))
		}
		e, err := buffer.Examine(d, s, nil)
		require.NoError(t, err)
		assert.Empty(t, e.Now)
		assert.Equal(t, out, len(e.NowStock) > 0, "%g-fold", times)
	}
}

// Tenfold phosphate-buffered saline reads 6.8 to 7.1, and diluted tenfold what the same
// amounts in ten times the volume read; a buffer that is brought to its pH is diluted after that.
func TestARecipeOfAStockIsDiluted(t *testing.T) {
	var list []table.Reagent
	given := func(mM map[string]float64) (s chem.Solution) {
		for _, name := range []string{"NaCl", "KCl", "Na2HPO4", "KH2PO4"} {
			r, err := table.ByAmount(name)
			require.NoError(t, err)
			list = append(list, r)
			s = chem.Mix(s, r.Dissolved(chem.Amount(mM[name])*chem.Millimole))
		}
		return s
	}
	d := buffer.NewDemand(math.NaN())
	d.Volume = chem.Litre
	e, err := buffer.Examine(d, given(map[string]float64{"NaCl": 1370, "KCl": 27, "Na2HPO4": 100, "KH2PO4": 18}), list)
	require.NoError(t, err)
	assert.InDelta(t, 6.95, e.InUse.PH, 0.15)
	require.NoError(t, e.Dilute(10, false))
	weak, err := solved.Describe(given(map[string]float64{"NaCl": 137, "KCl": 2.7, "Na2HPO4": 10, "KH2PO4": 1.8}).At(25).MadeUpTo(chem.Litre))
	require.NoError(t, err)
	assert.InDelta(t, weak.PH, e.Diluted.PH, 0.002)
	tris := trisAt(t, 8, nil)
	require.NoError(t, tris.Dilute(10, true))
	assert.InDelta(t, 7.95, tris.Diluted.PH, 0.03, "by the table of dilution values, −0.02 on twofold dilution")
	require.NoError(t, tris.Dilute(10, false))
	assert.Greater(t, tris.Diluted.PH, 9.5, "as mixed")
}

// What supplies two buffers is a question, with an answer to choose.
func TestASaltOfTwoBuffersIsAsked(t *testing.T) {
	d := buffer.NewDemand(7.8)
	d.Buffer = "ammonium bicarbonate"
	_, err := buffer.Rank(d)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad.Hints()[0], "ammonia or carbonate")
}

// asRead examines a recipe as somebody wrote it, in a litre.
func asRead(t *testing.T, text string, temp chem.Celsius) *buffer.Exam {
	r, err := written.Read(text, chem.Litre)
	require.NoError(t, err, text)
	d := buffer.NewDemand(r.PH)
	d.Volume, d.Use, d.Gas = chem.Litre, temp, r.Gas
	if r.Titrant != "" {
		d.Acid, d.Base = written.Either(r.Titrant, d.Acid, d.Base)
	}
	var list []table.Reagent
	var s chem.Solution
	for _, p := range r.Parts {
		list = append(list, p.Reagent)
		s = chem.Mix(s, p.Reagent.Dissolved(p.Amount))
	}
	e, err := buffer.Examine(d, s, list)
	require.NoError(t, err, text)
	return e
}

// Bicarbonate under moist carbon dioxide: pH = 6.10 + log10(HCO3 / (0.0307 × pCO2)) at 37 °C, mM and
// mmHg, with pCO2 = 5 % of 760 less 47 mmHg of water (textbooks of physiology, for plasma).
func TestUnderAGas(t *testing.T) {
	const saline = "118 mM NaCl, 4.7 mM KCl, 1.2 mM KH2PO4, pH 7.4, gassed with 95 % O2/5 % CO2; NaHCO3 "
	for mM, text := range map[float64]string{25: "25 mM", 15: "15 mM", 40: "40 mM"} {
		e := asRead(t, saline+text, 37)
		assert.InDelta(t, 6.10+math.Log10(mM/(0.0307*0.05*(760-47))), e.InUse.PH, 0.03, text)
		assert.ErrorIs(t, e.FixErr, buffer.ErrUnderGas)
		assert.Nil(t, e.Fixed)
	}
	// A tenth more of it for each 0.04 pH: log10(1.1) is 0.041.
	less, more := asRead(t, saline+"20 mM", 37), asRead(t, saline+"22 mM", 37)
	assert.InDelta(t, 0.041, more.InUse.PH-less.InUse.PH, 0.003)
	// 0.021 between dry and moist gas at 37 °C: log10(1 - 47.07/760), by the vapour pressure of handbooks.
	moist := asRead(t, saline+"25 mM", 37)
	d, err := solved.Describe(contentOf(t, saline+"25 mM").At(37).MadeUpTo(chem.Litre), chem.OpenToAir(0.05))
	require.NoError(t, err)
	assert.InDelta(t, -math.Log10(1-47.07/760), moist.InUse.PH-d.PH, 0.001)
}

// Above 3 mol/kg the amount is said where its uncertainty leaves something to say: stocks that every
// laboratory makes are no dead end. 3 M in sodium at pH 5.2 with pK 4.757 (Harned & Ehlers 1933) takes
// 3/10^(5.2-pK') mol of acetic acid, with pK' within 0.3 of pK.
func TestStrongStocksHaveAnAmount(t *testing.T) {
	e := asRead(t, "3 M sodium acetate pH 5.2", 25)
	require.NoError(t, e.FixErr)
	assert.Equal(t, "acetic acid", e.FixWith.Name)
	assert.Greater(t, e.Fix.Moles(), 3/math.Pow(10, 5.2-4.757+0.3))
	assert.Less(t, e.Fix.Moles(), 3/math.Pow(10, 5.2-4.757-0.3))
	for text, vague := range map[string]bool{
		"1 M (NH4)2SO4, 50 mM sodium phosphate, pH 7.0":    false,
		"3 M potassium acetate pH 5.5":                     false,
		"3 M NaCl, 0.3 M trisodium citrate, pH 7.0":        true,
		"6 M guanidine HCl, 0.1 M sodium phosphate pH 7.0": true,
		"3.5 M ammonium sulfate, 0.1 M MES pH 6":           true,
		"Tris 10 mM; NaCl 4.5 M; pH 8.2":                   true,
		"Tris 10 mM; NaCl 4.5 M; pH 8.0":                   false,
	} {
		assert.Equal(t, vague, asRead(t, text, 25).FixErr == buffer.ErrTooStrong, text)
	}
}

// contentOf is what a recipe holds.
func contentOf(t *testing.T, text string) (s chem.Solution) {
	r, err := written.Read(text, chem.Litre)
	require.NoError(t, err, text)
	for _, p := range r.Parts {
		s = chem.Mix(s, p.Reagent.Dissolved(p.Amount))
	}
	return s
}

// A stock that a meter brings to its pH is as uncertain in what it took as that pH is, and so is what
// is made of it: spread × capacity of the stock is what is not known of the titrant, and divided by
// the fold and the capacity of what is diluted it is a pH. What is mixed by weight has none of that.
func TestADilutedStockIsAsUncertainAsItsPH(t *testing.T) {
	e := asRead(t, "3.6 M NaCl; 0.2 M NaH2PO4; 20 mM EDTA; pH 7.7 with NaOH", 25)
	require.NotNil(t, e.Fixed)
	require.NoError(t, e.Dilute(20, true))
	own, err := solved.Describe(contentOf(t, "180 mM NaCl; 10 mM NaH2PO4; 1 mM EDTA; NaOH "+chem.Digits(1e3*e.Fix.Moles()/20, 6)+" mM").At(25).MadeUpTo(chem.Litre))
	require.NoError(t, err)
	assert.InDelta(t, own.PH, e.Diluted.PH, 0.01)
	assert.InEpsilon(t, math.Hypot(own.Spread, e.Fixed.Spread*e.Fixed.Capacity/20/own.Capacity), e.Diluted.Spread, 0.03)
	assert.Greater(t, e.Diluted.Spread, 0.1, "at an ionic strength of 4 mol/kg")
	require.NoError(t, e.Dilute(20, false))
	assert.Less(t, e.Diluted.Spread, 0.05)
}

// What a mole of boric acid brings at pH 8.5 is what it does in 50 mM of it, as it is in a beaker that was
// titrated with it: the NaOH that takes 50 mM there. In half as much it is 6 % less, for want of
// polyborates.
func TestWhatATitrantBringsIsThatOfABeaker(t *testing.T) {
	boric, err := table.ByAmount("boric acid")
	require.NoError(t, err)
	d := buffer.NewDemand(8.5)
	q, err := d.Brings(boric)
	require.NoError(t, err)
	e := asRead(t, "50 mM boric acid; pH 8.5 with NaOH", 25)
	require.NotNil(t, e.Fixed)
	assert.InEpsilon(t, e.Fix.Moles()/0.05, -q, 0.02)
}

// Two salts that are weighed to 1.5 % each have a ratio that is known to 2.1 %, and log10 of that is 0.0092
// pH, whatever the ratio (Henderson and Hasselbalch).
func TestAPairIsAsGoodAsItIsWeighed(t *testing.T) {
	for _, ph := range []float64{6.6, 7.0} {
		d := buffer.NewDemand(ph)
		s, err := table.System("phosphate")
		require.NoError(t, err)
		forms, err := d.FormsFor(s)
		require.NoError(t, err)
		p, err := d.ByRatio(forms)
		require.NoError(t, err)
		all := p.RatioSpread(d.Content(), d.InUse())
		assert.InEpsilon(t, math.Log10(1+0.015*math.Sqrt2), math.Sqrt(all*all-p.Result.Spread*p.Result.Spread), 0.1, "pH %g", ph)
	}
}
