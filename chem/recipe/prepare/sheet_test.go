package prepare_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/table"
)

func TestBenchSheet(t *testing.T) {
	d := buffer.NewDemand(8)
	d.Buffer, d.Bench, d.Use, d.Volume = "Tris", 22, 4, 1
	x := draft(t, d)
	steps := x.Sheet(prepare.Doing{Calibrate: "halfdrop calibrate", Titrate: "halfdrop titrate --port NAME --plan tris.toml"})
	var all []string
	for _, s := range steps {
		all = append(all, s.Text+" "+strings.Join(s.Details, " ")+" "+strings.Join(s.Cautions, " "))
	}
	text := strings.Join(all, "\n")
	last := -1
	for _, word := range []string{"Acid into water", "Have the titrants ready", "80 % of the mark", "Weigh 6.057 g of Tris", "Stir until clear",
		"Calibrate the meter with the standards", "clear of the bulb", "halfdrop titrate --port NAME --plan tris.toml", "make up to the mark at 1000 mL", "Check: the meter", "Label: Tris 50 mM pH 8.00 at 4 °C"} {
		i := strings.Index(text, word)
		require.GreaterOrEqual(t, i, 0, "%q in\n%s", word, text)
		assert.Greater(t, i, last, "%q stands in its place", word)
		last = i
	}
	assert.Contains(t, text, "safety data sheet")
	assert.NotContains(t, text, "down the sink")
	// Tris falls by 0.03 per °C: Bates & Bower by way of Lange's Handbook has −0.028.
	assert.InDelta(t, -0.03*18, x.Aim.Temperature, 0.06)
	for _, s := range steps {
		assert.False(t, strings.Contains(s.Text, "NaN") || strings.Contains(s.Text, "Inf"), s.Text)
	}
}

// What is known to ±0.2 may be there before anything is added: TBE, whose Tris and
// borate read 0.3 lower than is computed. And a detergent without a molar mass has
// a density and no strength.
func TestTheSheetSaysWhatItDoesNotKnow(t *testing.T) {
	text := func(with, name string, ph, molar float64) string {
		d := buffer.NewDemand(ph)
		d.Buffer, d.Molar = name, chem.Molarity(molar)
		r, err := written.Read(with, d.Volume)
		require.NoError(t, err)
		d.With = r.Ingredients()
		var all []string
		for _, s := range draft(t, d).Sheet(prepare.Doing{}) {
			all = append(all, s.Text+" "+strings.Join(s.Details, " "))
		}
		return strings.Join(all, "\n")
	}
	const open = "It may already be at the aim"
	assert.Contains(t, text("boric acid 89 mM; EDTA 2 mM", "Tris", 8.3, 0.089), open)
	ripa := text("NaCl 150 mM; Triton X-100 1 %", "Tris", 7.4, 0.05)
	assert.NotContains(t, ripa, open)
	assert.Contains(t, ripa, "g/mL), of octoxynol-9")
}

func TestStandardsBracket(t *testing.T) {
	for _, tc := range [][3]float64{{7.4, 7, 10.01}, {6.1, 4.01, 7}, {3, 1.68, 4.01}, {7, 4.01, 7}, {11.5, 10.01, 12.45}, {1.2, 1.68, 4.01}} {
		low, high := prepare.Standards(tc[0])
		assert.Equal(t, [2]float64{tc[1], tc[2]}, [2]float64{low, high}, "pH %g", tc[0])
	}
}

func TestExamine(t *testing.T) {
	tris, err := table.ByAmount("Tris")
	require.NoError(t, err)
	d := buffer.NewDemand(8)
	d.Volume = 1
	e, err := buffer.Examine(d, tris.Dissolved(0.05), []table.Reagent{tris})
	require.NoError(t, err)
	assert.Greater(t, e.Off, 2.0)
	assert.Equal(t, "HCl", e.FixWith.Formula)
	d.Buffer = "Tris"
	x := draft(t, d)
	d.Volume, d.Buffer = 1, ""
	assert.InDelta(t, x.Amount.Moles(), e.Fix.Moles(), 1e-6, "the same as the recipe")
	d.PH = math.NaN()
	e, err = buffer.Examine(d, tris.Dissolved(0.05), nil)
	require.NoError(t, err)
	assert.True(t, math.IsNaN(e.Off))
}

// 20 drops are 1 mL, water drops weigh 45 to 55 mg: USP <1101>, by way of a
// pharmacy laboratory page.
func TestMeasureDrop(t *testing.T) {
	m, err := recipe.MeasureDrop(20, []float64{0.9982}, 0.9982)
	require.NoError(t, err)
	assert.InDelta(t, 50, m.UL, 1e-9)
	assert.Equal(t, 10.0, m.SDPct)
	m, err = recipe.MeasureDrop(20, []float64{0.98, 1.01, 0.99}, 1.04)
	require.NoError(t, err)
	assert.InDelta(t, 1000*(0.98+1.01+0.99)/3/20/1.04, m.UL, 1e-9)
	assert.Equal(t, 5.0, m.SDPct)
	for _, bad := range []struct {
		n   int
		g   []float64
		rho float64
	}{{20, []float64{98}, 1}, {2, []float64{0.1}, 1}, {20, nil, 1}, {20, []float64{1}, 0}, {20, []float64{0.6, 1.2, 1}, 1}, {20, []float64{math.NaN()}, 1}} {
		_, err := recipe.MeasureDrop(bad.n, bad.g, bad.rho)
		require.Error(t, err, "%v", bad)
	}
}

// Densities as sold: 37.2 % HCl 1.18 and 50.5 % NaOH 1.53 kg/L (project list of
// concentrates); 30 % NaOH, 10 M, 1.328 and 20 % HCl, 6.0 M, 1.098 and those of
// 1 mol/L in the CRC Handbook, from memory.
func TestDensity(t *testing.T) {
	for _, tc := range []struct {
		name       string
		molar      chem.Molarity
		want, tole float64
	}{{"HCl", 12.1, 1.18, 0.002}, {"NaOH", 19.4, 1.53, 0.002}, {"NaOH", 9.96, 1.328, 0.025}, {"HCl", 6.02, 1.098, 0.01}, {"NaOH", 0, 0.9982, 0.0001}, {"HCl", 1, 1.0162, 0.003}, {"NaOH", 1, 1.0403, 0.003}, {"KOH", 1, 1.0465, 0.003}, {"H2SO4", 1, 1.0611, 0.006}, {"HNO3", 1, 1.0318, 0.003}, {"acetic acid", 1, 1.0065, 0.003}} {
		r, err := table.ByAmount(tc.name)
		require.NoError(t, err)
		rho := recipe.Density(r, tc.molar, 20)
		assert.InDelta(t, tc.want, rho, tc.tole, "%s %g M", tc.name, float64(tc.molar))
	}
}

func BenchmarkRank(b *testing.B) {
	for _, way := range []buffer.Way{buffer.ByTitrant, buffer.BySalts} {
		b.Run(string(way), func(b *testing.B) {
			d := buffer.NewDemand(7.4)
			d.Way = way
			for b.Loop() {
				if _, err := buffer.Rank(d); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// What a stock is to read is not promised better than it is known: twenty-fold citrate in salt
// is checked by a diluted sample, and its first reading has its uncertainty beside it.
func TestAStockIsCheckedByWhatIsKnownOfIt(t *testing.T) {
	d := demanded(t, "citrate", 7, 0.015, 0.5, "")
	r, err := written.Read("NaCl 150 mM", 10)
	require.NoError(t, err)
	d.With, d.Times, d.Anyway = r.Ingredients(), 20, true
	x := draft(t, d)
	require.Greater(t, x.StartSD, 0.3)
	text := ""
	for _, s := range x.Sheet(prepare.Doing{}) {
		text += s.Text + " " + strings.Join(s.Details, " ") + "\n"
	}
	assert.Contains(t, text, "What the meter will show first is not known well enough")
	assert.Contains(t, text, "Check: a diluted sample, 1 mL made up to 20 mL, should show pH 7.00 ± 0.05 at 25 °C.")
	assert.NotContains(t, text, "Check: the meter should show")

	// A solution of a hydrogen carbonate alone loses carbon dioxide to the air, and goes up.
	text = ""
	for _, s := range draft(t, demanded(t, "carbonate", 9.6, 0.05, 1, "")).Sheet(prepare.Doing{}) {
		text += strings.Join(s.Details, " ") + "\n"
	}
	assert.Regexp(t, `about pH 8\.\d, known to ± 0\.\d\. Farther from that\?`, text)

	x = draft(t, demanded(t, "Tris", 8, 0.05, 1, ""))
	assert.Less(t, x.StartSD, 0.05)
	text = ""
	for _, s := range x.Sheet(prepare.Doing{}) {
		text += s.Text + " " + strings.Join(s.Details, " ") + "\n"
	}
	assert.Regexp(t, `about pH 10\.\d\. Far from that\?`, text)
	assert.Contains(t, text, "Check: the meter should show pH 8.00 ± 0.05")
}

// What has no hydrate is not called anhydrous, and is found by that name all the same.
func TestBoricAcidIsNotCalledAnhydrous(t *testing.T) {
	for _, name := range []string{"boric acid", "sodium hydrogen carbonate"} {
		r, err := table.ByAmount(name + " anhydrous")
		require.NoError(t, err)
		assert.Equal(t, name, r.FullName())
	}
	r, err := table.ByAmount("trisodium citrate anhydrous")
	require.NoError(t, err)
	assert.Equal(t, "trisodium citrate anhydrous", r.FullName())
}

// What is too much to count in drops is measured, on the sheet and in the plan that the coach
// works from, which asks for mL then; what is few drops is dripped in both. Whose drop was
// measured has both: a pipette for the way, and the drops for the last steps.
func TestSheetAndPlanSpeakOfOneDevice(t *testing.T) {
	drop := 25.0
	for _, tc := range []struct {
		name      string
		ph        float64
		molar, ml float64
		dropUL    *float64
		by        string // of the titrants in their order: p a pipette, d a dropper
	}{
		{"HEPES", 7.4, 0.05, 50, nil, "pdd"},    // 2.2 mL of one for the way, and a weaker one
		{"HEPES", 7.4, 0.05, 180, nil, "dd"},    // 4 mL, 80 drops
		{"HEPES", 7.4, 0.05, 270, nil, "pd"},    // 6 mL, 120
		{"HEPES", 7.4, 0.05, 180, &drop, "pdd"}, // 4 mL, 160 drops of half the size
		{"Tris", 7.5, 0.05, 500, nil, "pd"},
		{"Tris", 7.5, 0.05, 500, &drop, "pdd"},
		{"Tris", 7.5, 1, 500, nil, "pd"},    // 87 mL of HCl 5 M, which does for the last steps
		{"Tris", 7.5, 0.05, 2e4, nil, "pp"}, // a drop in 20 L does nothing
	} {
		d := demanded(t, tc.name, tc.ph, tc.molar, 1e-3*tc.ml, "")
		d.DropUL = tc.dropUL
		x := draft(t, d)
		got := ""
		for i, c := range x.Titrants {
			st, p := x.Setup.Stocks[i], x.Plan.Titrants[i]
			assert.Equal(t, c.Pipette, st.ByML)
			assert.Equal(t, c.By(), map[bool]string{true: p.By, false: "dropper"}[c.Pipette])
			assert.Equal(t, c.Name(), p.Name)
			assert.False(t, !c.Pipette && c.Role != prepare.Fine && c.Volume > 101*st.Drop, "%s: %s", tc.name, c.Name())
			got += c.By()[:1]
		}
		assert.Equal(t, tc.by, got, "%s %g M, %g mL", tc.name, tc.molar, tc.ml)
		sheet := sheetOf(t, x)
		assert.Equal(t, tc.by[0] == 'p', strings.Contains(sheet, "the coach asks for mL"), "%s", tc.name)
		assert.Equal(t, tc.by[0] == 'p' && x.Titrants[0].Role == prepare.Fine, strings.Contains(sheet, ", the whole way: "), "%s", tc.name)
		assert.Equal(t, tc.by[0] == 'd', strings.Contains(sheet, "drops of NaOH 1 M if used throughout"), "%s", tc.name)
	}
}

// How well the first reading is known is said from 0.1 pH on, and from half a pH of what the mixture
// is to have, or one pH of the first reading alone, it tells no jar from another: the forms of a
// substance are two pH apart and more (Tris and its hydrochloride 5 to 6: 10.4 and 4.7 at 50 mM).
func TestFromWhenTheFirstReadingTellsNoJar(t *testing.T) {
	x := draft(t, demanded(t, "Tris", 8, 0.05, 1, ""))
	for _, tc := range []struct {
		inUse, start float64
		want         string
	}{
		{0.02, 0.08, "Far from that?"}, {0.02, 0.13, "known to ± 0.1. Farther"}, {0.13, 0.02, "known to ± 0.1. Farther"}, {0.4, 0.02, "known to ± 0.4. Farther"}, {0.02, 0.8, "known to ± 0.8. Farther"},
		{0.6, 0.02, "look at the label twice"}, {0.02, 1.2, "look at the label twice"},
	} {
		x.InUse.Spread, x.StartSD = tc.inUse, tc.start
		text := ""
		for _, s := range x.Sheet(prepare.Doing{}) {
			text += strings.Join(s.Details, " ") + "\n"
		}
		assert.Contains(t, text, tc.want, "%v", tc)
	}
}
