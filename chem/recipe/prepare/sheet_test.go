package prepare_test

import (
	"math"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

// Azide meets no acid but that of the buffer itself, and what does not last in water is not
// weighed into it first. Where azide would give off its acid it is no use to wait: it is said.
func TestSomeThingsGoInWhenThePHIsSet(t *testing.T) {
	order := func(ph float64, name string) (titrate, azide, pmsf int, notes string) {
		x := draft(t, demanded(t, name, ph, 0.05, 1, "NaN3 0.02 %; PMSF 1 mM; NaCl 150 mM"))
		for i, s := range x.Sheet(prepare.Doing{Calibrate: "calibrate", Titrate: "titrate"}) {
			switch {
			case strings.HasPrefix(s.Text, "Titrate to pH"):
				titrate = i
			case strings.Contains(s.Text, "of sodium azide"):
				azide = i
			case strings.Contains(s.Text, "of PMSF"):
				pmsf = i
				assert.NotContains(t, s.Text, "rinse the boat into")
			}
		}
		return titrate, azide, pmsf, strings.Join(x.Notes, "\n")
	}
	titrate, azide, pmsf, notes := order(8, "Tris")
	assert.Greater(t, azide, titrate)
	assert.Greater(t, pmsf, titrate)
	assert.NotContains(t, notes, "hydrazoic")
	titrate, azide, _, notes = order(4.5, "acetate")
	assert.Less(t, azide, titrate, "it has a share in the pH there")
	assert.Regexp(t, `sodium azide: 60 % of it is hydrazoic acid`, notes)
}

// What is no acid, base or ion is a part of the solvent where there is much of it, and nothing
// where it is 1 mM of PMSF.
func TestWhatChangesTheSolventIsSaid(t *testing.T) {
	said := func(with string) bool {
		x := draft(t, demanded(t, "Tris", 8, 0.05, 1, with))
		var all []string
		for _, s := range x.Sheet(prepare.Doing{}) {
			all = append(all, s.Details...)
		}
		return strings.Contains(strings.Join(all, " "), "not an acid, base or ion")
	}
	assert.False(t, said("PMSF 1 mM"))
	assert.False(t, said("sucrose 1 %"), "6 mL in the litre")
	assert.True(t, said("sucrose 2 %"), "12 mL")
}

// What air takes away goes in when the pH is set, where it leaves it as it is, and the aim is that
// of the beaker without it; acids that reduce, TCEP of which the jar is the hydrochloride before
// all, go in with the rest. By hand: a hundredth of DTT, pK 9.26, is charged at pH 7.3, so that
// 1 mM moves 25 mM of phosphate by a thousandth; at pH 9 a third of 10 mM is, which moves 20 mM
// of borate or Tris of the size of 10 mM a pH by 0.3.
func TestReducingAgentsGoInFresh(t *testing.T) {
	order := func(name string, ph, molar float64, with string) (where map[string]bool, x *prepare.Draft) {
		x = draft(t, demanded(t, name, ph, molar, 1, with))
		where = map[string]bool{}
		late := false
		for _, s := range x.Sheet(prepare.Doing{Calibrate: "calibrate", Titrate: "titrate"}) {
			late = late || strings.HasPrefix(s.Text, "Titrate to pH")
			for _, m := range x.Measures {
				if strings.Contains(s.Text, " of "+m.Reagent.Name+",") {
					where[m.Reagent.Name] = late
					assert.Equal(t, late, m.Late, m.Reagent.Name)
					assert.Equal(t, late, strings.Contains(strings.Join(s.Details, " "), "Not earlier: "), m.Reagent.Name)
					assert.NotContains(t, s.Text, "into the water", m.Reagent.Name)
				}
			}
		}
		for i, w := range x.Plan.Weighed {
			assert.Equal(t, x.Measures[i].Late, w.Late, w.Reagent)
		}
		return where, x
	}
	const all = "DTT 1 mM; DTE 1 mM; 2-mercaptoethanol 5 mM; TCEP 1 mM; glutathione 1 mM; PMSF 1 mM"
	where, _ := order("phosphate", 7.3, 0.05, all)
	for name, late := range map[string]bool{"DTT": true, "DTE": true, "2-mercaptoethanol": true, "PMSF": true, "TCEP hydrochloride": false, "glutathione, reduced": false} {
		got, ok := where[name]
		assert.True(t, ok, name)
		assert.Equal(t, late, got, name)
	}
	where, _ = order("Tris", 9, 0.05, "DTT 10 mM")
	assert.False(t, where["DTT"])
	// Where it waits, its share in the pH, half of the tolerance at most, is in the aim.
	_, x := order("Tris", 8.2, 0.05, "DTT 5 mM")
	assert.True(t, x.Measures[1].Late)
	q := math.Pow(10, 8.2-9.1) // of 5 mM, pKa′ 9.1
	assert.InDelta(t, q*5/29, x.Aim.Later, 0.007)
	for mM, late := range map[string]bool{"5": true, "9": false} {
		_, x = order("Tris", 8.2, 0.05, "DTT "+mM+" mM")
		assert.Equal(t, late, x.Measures[1].Late, mM)
	}
}

// Where a hundredth or more of it is the gas whenever it goes in, it has its share in the pH: the
// step warns of the gas, and does not say what it does not do, to wait for the pH.
func TestTheStepThatGivesOffGasSaysSo(t *testing.T) {
	of := func(buffer string, ph float64, with, what string) (step prepare.Step, late bool) {
		x := draft(t, demanded(t, buffer, ph, 0.05, 1, with))
		for _, s := range x.Sheet(prepare.Doing{}) {
			late = late || strings.HasPrefix(s.Text, "Titrate to pH")
			if strings.Contains(s.Text, "of "+what+",") {
				return s, late
			}
		}
		t.Fatalf("no step for %s", what)
		return step, late
	}
	all := func(s prepare.Step) string {
		return s.Text + "\n" + strings.Join(append(s.Details, s.Cautions...), "\n")
	}
	azide, late := of("acetate", 4.5, "NaN3 5 mM", "sodium azide")
	assert.False(t, late)
	assert.Regexp(t, `fume cupboard from this step on: at pH 3\.7, 9[0-9] % of it is hydrazoic acid.*safety data sheet.*rules of your laboratory`, all(azide))
	assert.NotContains(t, all(azide), "pH is set")
	assert.NotContains(t, all(azide), "never acidify")

	azide, late = of("Tris", 8, "NaN3 5 mM", "sodium azide")
	assert.True(t, late)
	assert.Contains(t, all(azide), "Not earlier: acid turns it into a poisonous, explosive gas: never acidify it.")
	assert.NotContains(t, all(azide), "fume cupboard")

	// By hand: 50 mM of citric acid, pK 3.13, has a pH of 2.2, where nine parts in ten of
	// fluoride, pK 3.17, are the acid; at pH 6 it is less than 0.2 %.
	fluoride, late := of("citric acid", 6, "NaF 5 mM", "sodium fluoride")
	assert.True(t, late, "not into citric acid")
	assert.Contains(t, all(fluoride), "Not earlier: before, at pH 2.")
	assert.Contains(t, all(fluoride), "hydrofluoric acid")
	_, late = of("Tris", 8, "NaF 5 mM", "sodium fluoride")
	assert.False(t, late, "into a base: nothing leaves")
}

// What waits is not in the beaker: neither in the pH that the meter shows first, nor in the
// aim, and the plan says so. By hand: MES alone, pK 6.1 and 25 mM
// at first, begins at half of 6.1 + 1.6, pH 3.9; with azide in it, at 5.4.
func TestWhatWaitsIsNotInTheBeaker(t *testing.T) {
	x := draft(t, demanded(t, "MES", 6.8, 0.02, 1, "NaN3 15 mM"))
	assert.InDelta(t, 3.9, x.Forecast.Start, 0.1)
	require.Len(t, x.Plan.Weighed, 2)
	assert.False(t, x.Plan.Weighed[0].Late)
	assert.True(t, x.Plan.Weighed[1].Late)

	d := demanded(t, "phosphate", 7.4, 0.05, 1, "NaF 50 mM")
	d.Way = buffer.BySalts
	x = draft(t, d)
	require.NotNil(t, x.Other)
	assert.InDelta(t, 4.5, x.Other.Start, 0.1, "of the other way as well: half of 7.2 and 2 less what ions do")

	x = draft(t, demanded(t, "phosphate", 7.4, 0.05, 1, "NaF 50 mM"))
	assert.InDelta(t, 0.05, x.Aim.Later, 0.015)
	assert.InDelta(t, x.Aim.Shown, x.Aim.Target+x.Aim.Temperature+x.Aim.Strength+x.Aim.Later+x.Aim.Dilution, 1e-9)
	assert.Regexp(t, `\+0\.0[456] because of what goes in once the pH is set`, x.Aim.Words(25, 25))
}

// A stock solution that is poured in once the pH is set has its room under the mark.
func TestWhatIsPouredLateHasItsRoom(t *testing.T) {
	d := demanded(t, "Tris", 8, 0.05, 1, "NaN3 3 mM")
	r, err := table.ByAmount("sodium azide")
	require.NoError(t, err)
	d.Bottles = []buffer.Bottle{{Reagent: r, Molar: 0.01}}
	x := draft(t, d)
	assert.InDelta(t, 300, x.Measures[1].Volume.Millilitres(), 0.1)
	assert.LessOrEqual(t, float64(x.Setup.Start+x.Titrants[0].Volume+x.Measures[1].Volume), float64(x.Setup.Final))
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
