package prepare_test

import (
	"fmt"
	"math"
	"strings"
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

// demands are many different ones that can all be met: at each pH one of five sizes, both ways.
func demands() []buffer.Demand {
	var out []buffer.Demand
	for i, ph := range []float64{2.5, 4.0, 4.8, 5.6, 6.1, 6.9, 7.4, 8.0, 8.8, 9.4, 10.3} {
		for j, size := range []struct{ ml, mM, tol float64 }{{50, 10, 0.05}, {100, 100, 0.02}, {500, 25, 0.05}, {1000, 200, 0.05}, {20, 50, 0.1}} {
			if (i+j)%5 > 0 {
				continue
			}
			for _, way := range []buffer.Way{buffer.ByTitrant, buffer.BySalts} {
				d := buffer.NewDemand(ph)
				d.Volume, d.Molar, d.Tolerance, d.Way = chem.Volume(size.ml)*chem.Millilitre, chem.Molarity(1e-3*size.mM), size.tol, way
				d.Use, d.Bench = 37, 21
				out = append(out, d)
			}
		}
	}
	return out
}

// Every plan can be carried out: it compiles, what was promised is what the
// model finds, and the titrants keep the rules.
func TestPlansKeepTheirPromises(t *testing.T) {
	made := 0
	for _, d := range demands() {
		list, err := buffer.Rank(d)
		require.NoError(t, err)
		x, err := prepare.For(d, list[0])
		if err != nil {
			var bad recipe.Problems
			require.ErrorAs(t, err, &bad)
			require.NotEmpty(t, bad.Hints(), err)
			t.Logf("%s %s %g mL: %v", list[0].System.Name, d.Way, d.Volume.Millilitres(), err)
			continue
		}
		made++
		name := fmt.Sprintf("%s %s %g mL ± %g", x.Plan.Name, x.Way, d.Volume.Millilitres(), d.Tolerance)
		assert.InDelta(t, d.PH, x.InUse.PH, 1e-3, name)
		checkTitrants(t, name, x)
		checkArrival(t, name, x)
	}
	assert.Equal(t, len(demands()), made)
}

func checkTitrants(t *testing.T, name string, x *prepare.Draft) {
	t.Helper()
	var coarse, fine *prepare.Chosen
	backs := 0
	for i := range x.Titrants {
		switch c := &x.Titrants[i]; c.Role {
		case prepare.Coarse:
			coarse = c
		case prepare.Fine:
			fine = c
			assert.Less(t, c.PerDrop, x.Demand.Tolerance/2, name)
		case prepare.Back:
			backs++
			assert.Less(t, c.PerDrop, x.Demand.Tolerance/2, name)
		}
	}
	require.NotNil(t, fine, name)
	if x.Way == buffer.BySalts {
		return
	}
	assert.Equal(t, 1, backs, "%s: the opposite at hand", name)
	if fine.Molar > 1 { // one bottle for the whole way, where its drop is next to nothing
		assert.LessOrEqual(t, fine.Molar, 5.0, "%s: nothing strong for the last steps", name)
		assert.Less(t, fine.PerDrop, x.Demand.Tolerance/10, "%s: nothing strong for the last steps", name)
	}
	room := (x.Setup.Final - x.Setup.Start).Litres()
	switch {
	case coarse != nil:
		assert.Contains(t, coarse.Why, "mL", name)
		assert.LessOrEqual(t, coarse.Volume.Litres(), 0.91*room, name)
		assert.Greater(t, fine.Volume.Litres(), 0.45*room, "%s: a second bottle only where the first does not fit", name)
		for _, weaker := range []float64{0.1, 0.2, 0.5, 1, 2, 5} {
			if weaker < coarse.Molar && !coarse.AtHand {
				assert.Greater(t, coarse.Volume.Litres()*coarse.Molar/weaker, 0.45*room, "%s: %g M would fit as well as %g M", name, weaker, coarse.Molar)
			}
		}
	case fine.Drops > 101:
		assert.Contains(t, fine.Why, "measured in mL", name)
		assert.LessOrEqual(t, fine.Volume.Litres(), 0.55*room, name)
	case fine.Drops > 41:
		assert.LessOrEqual(t, fine.Volume.Litres(), 0.55*room, name)
	}
}

// checkArrival adds the predicted amount to the beaker as planned, by another
// path than the plan took: mixing and describing.
func checkArrival(t *testing.T, name string, x *prepare.Draft) {
	t.Helper()
	s := x.Setup
	full := s.Beaker(s.BenchTemp)
	for i, st := range s.Stocks {
		if v := x.Titrants[i].Volume; v > 0 {
			full = chem.Mix(full, st.PerLitre(s.BenchTemp).Scale(v.Litres()))
			break
		}
	}
	r, err := solved.Describe(full)
	require.NoError(t, err)
	assert.InDelta(t, x.Aim.Shown, r.PH, 0.01, "%s: at the aim", name)
	r, err = solved.Describe(full.MadeUpTo(s.Final).At(s.UseTemp))
	require.NoError(t, err)
	assert.InDelta(t, s.Target, r.PH, 0.01, "%s: in use", name)
	assert.InDelta(t, x.Aim.Shown, x.Aim.Target+x.Aim.Temperature+x.Aim.Dilution, 1e-9, name)
}

// The size of a drop near the aim, by adding one.
func TestOneDropMovesWhatIsSaid(t *testing.T) {
	d := buffer.NewDemand(7.4)
	d.Buffer, d.Volume = "HEPES", 0.1
	x := draft(t, d)
	s := x.Setup
	at := chem.Mix(s.Beaker(s.BenchTemp), s.Stocks[0].PerLitre(s.BenchTemp).Scale(x.Titrants[0].Volume.Litres()))
	before, err := solved.Describe(at)
	require.NoError(t, err)
	for i, c := range x.Titrants {
		after, err := solved.Describe(chem.Mix(at, s.Stocks[i].PerLitre(s.BenchTemp).Scale(50e-6)))
		require.NoError(t, err)
		assert.InEpsilon(t, c.PerDrop, math.Abs(after.PH-before.PH), 0.05, c.Name())
	}
}

// The direction comes from the chemistry: a free acid is brought up with base,
// a free base down with acid (common practice, no source); potassium salts get
// the hydroxide of their own cation.
func TestDirection(t *testing.T) {
	for _, tc := range []struct {
		name, titrant string
		ph            float64
	}{
		{"HEPES", "NaOH", 7.4}, {"MES", "NaOH", 6.1}, {"Tris", "HCl", 8}, {"Tris hydrochloride", "NaOH", 8},
		{"imidazole", "HCl", 7}, {"NaH2PO4", "NaOH", 7}, {"Na2HPO4", "HCl", 7}, {"KH2PO4", "KOH", 7}, {"acetic acid", "NaOH", 4.8},
		{"sodium acetate", "HCl", 4.8}, {"glycine", "HCl", 2.5}, {"glycine", "NaOH", 9.6}, {"HEPES sodium salt", "HCl", 7.4},
	} {
		d := buffer.NewDemand(tc.ph)
		d.Buffer = tc.name
		x := draft(t, d)
		assert.Equal(t, tc.titrant, x.Plan.Titrants[0].Reagent, tc.name)
		assert.Equal(t, x.Base, x.StartUse < tc.ph, tc.name)
	}
}

func TestMassesOfTheCupboard(t *testing.T) {
	d := buffer.NewDemand(7)
	d.Buffer, d.Way, d.Have, d.Purity = "phosphate", buffer.BySalts, []string{"Na2HPO4·7H2O", "NaH2PO4·H2O"}, 0.98
	x := draft(t, d)
	assert.Equal(t, "NaH2PO4·H2O", x.Measures[0].Reagent.Formula)
	assert.Equal(t, "Na2HPO4·7H2O", x.Measures[1].Reagent.Formula)
	for _, m := range x.Measures {
		assert.Empty(t, m.Others, "the hydrate is known")
		assert.InDelta(t, float64(m.Reagent.MolarMass)*m.Amount.Moles()/0.98, m.Mass.Grams(), 1e-9)
	}
	assert.InDelta(t, 25, x.Measures[0].Amount.Millimoles()+x.Measures[1].Amount.Millimoles(), 1e-6)
	require.NotNil(t, x.Plan.Weighed[1].Grams)
	assert.Equal(t, 98.0, *x.Plan.Weighed[1].PurityPct)

	d.Have, d.Purity = nil, 1
	x = draft(t, d)
	assert.Len(t, x.Measures[1].Others, 3, "every hydrate has its mass")
	require.NotNil(t, x.Plan.Weighed[1].MMol, "the plan does not guess the hydrate")
}

// C₁V₁ = C₂V₂.
func TestStockSolutions(t *testing.T) {
	r, err := table.ByAmount("HEPES")
	require.NoError(t, err)
	naoh, err := table.ByAmount("NaOH")
	require.NoError(t, err)
	d := buffer.NewDemand(7.4)
	d.Buffer = "HEPES"
	d.Bottles = []buffer.Bottle{{Reagent: r, Molar: 1}, {Reagent: naoh, Molar: 2}}
	x := draft(t, d)
	require.NotNil(t, x.Measures[0].Bottle)
	assert.InDelta(t, 25, x.Measures[0].Volume.Millilitres(), 1e-9, "50 mM × 500 mL / 1 M")
	assert.Equal(t, 2.0, x.Titrants[0].Molar, "the bottle at hand")
	for _, l := range x.Dilutions {
		assert.NotEqual(t, naoh.Name, l.Reagent.Name, "nothing to make of what is at hand")
		assert.InDelta(t, l.Molar*l.Volume.Millilitres(), l.Source*l.Take.Millilitres(), 1e-9)
	}
	d.Bottles[0].Molar = 0.05
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	_, err = prepare.For(d, list[0])
	require.ErrorContains(t, err, "500 mL")
}

func TestIonicStrengthAsked(t *testing.T) {
	for _, way := range []buffer.Way{buffer.ByTitrant, buffer.BySalts} {
		d := buffer.NewDemand(7.2)
		d.Buffer, d.Way, d.Ionic = "MOPS", way, 0.15
		x := draft(t, d)
		assert.InDelta(t, 0.15, x.InUse.MolarStrength(), 1e-4, way)
		assert.Positive(t, x.Salt)
		d.Ionic = 0.005
		_, err := buffer.Rank(d)
		require.ErrorContains(t, err, "alone has an ionic strength")
	}
}

func TestRankingFollowsTheDemand(t *testing.T) {
	d := buffer.NewDemand(8.1)
	first := func() string {
		list, err := buffer.Rank(d)
		require.NoError(t, err)
		for _, c := range list {
			sum := 0.0
			for _, w := range c.Why {
				sum += w.Points
			}
			assert.InDelta(t, c.Points, sum, 1e-9, "the reasons add up")
			assert.LessOrEqual(t, math.Abs(c.Distance), 1.0)
		}
		return list[0].System.Name
	}
	_ = first()
	d.Avoid = []table.Property{table.Aldehydes}
	list, err := buffer.Rank(d)
	require.NoError(t, err)
	at := func(name string) int {
		for i, c := range list {
			if c.System.Name == name {
				return i
			}
		}
		return len(list)
	}
	assert.Less(t, at("HEPPS"), at("Tris"), "Tris condenses with aldehydes")
	d.Avoid, d.Steady, d.PH = nil, true, 7.2
	assert.Contains(t, []string{"phosphate", "PIPES", "MOPS"}, first(), "the steadiest near pH 7")
}

func TestWhatCannotBeSaysWhatCan(t *testing.T) {
	for name, tc := range map[string]struct {
		change func(*buffer.Demand)
		hint   string
	}{
		"no buffer there": {func(d *buffer.Demand) { d.PH = 12.9 }, "the nearest is"},
		"wrong buffer":    {func(d *buffer.Demand) { d.Buffer = "acetate" }, "HEPES"},
		"too much":        {func(d *buffer.Demand) { d.PH, d.Buffer, d.Molar = 9, "borate", 2 }, "use less"},
		"too small":       {func(d *buffer.Demand) { d.Volume, d.Molar, d.Tolerance = 0.002, 0.002, 0.02 }, "a batch of"},
		"contradictory": {func(d *buffer.Demand) {
			d.PH, d.Avoid = 11.6, []table.Property{table.Volatile, table.Calcium, table.Aldehydes}
		}, "without"},
		"unknown buffer":     {func(d *buffer.Demand) { d.Buffer = "HEPS" }, "HEPES"},
		"unknown property":   {func(d *buffer.Demand) { d.Avoid = []table.Property{"smell"} }, "metals"},
		"not a number":       {func(d *buffer.Demand) { d.PH = math.NaN() }, "pH 1 to 13"},
		"one salt only":      {func(d *buffer.Demand) { d.PH, d.Buffer, d.Way = 7.2, "MOPSO", buffer.BySalts }, "one form"},
		"a base as acid":     {func(d *buffer.Demand) { d.Acid = "NaOH" }, "HCl"},
		"no acid there":      {func(d *buffer.Demand) { d.Acid = "boric acid" }, "HCl"},
		"an acid as base":    {func(d *buffer.Demand) { d.Base = "HCl" }, "NaOH"},
		"absurd temperature": {func(d *buffer.Demand) { d.Use = 95 }, "0 to 60"},
	} {
		d := buffer.NewDemand(7.4)
		tc.change(&d)
		list, err := buffer.Rank(d)
		var c buffer.Candidate
		if err == nil {
			c, err = buffer.Pick(d, list)
		}
		if err == nil {
			_, err = prepare.For(d, c)
		}
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, name)
		assert.Contains(t, strings.Join(append(bad.Hints(), bad.Error()), " "), tc.hint, name)
	}
	d := buffer.NewDemand(7.4)
	d.Buffer, d.Anyway = "MES", true
	x := draft(t, d)
	assert.Contains(t, strings.Join(x.Notes, " "), "outside ± 1", "allowed with a word, and said")
}

// The bench sheet has its steps in the order of the bench, and acid and base
// go into water.
// An aim that is not the target has a reason, also where each is a small one.
func TestAnAimHasAReason(t *testing.T) {
	a := prepare.Aim{Target: 8, Shown: 8.008, Dilution: 0.004, Temperature: 0.004}
	assert.Contains(t, a.Words(25, 25), "before making up: +0.01 by temperature, strength and making up together")
	a = prepare.Aim{Target: 8, Shown: 8.05, Dilution: 0.05}
	assert.Contains(t, a.Words(25, 25), "before making up: +0.05 because it is still to be made up")
}

// What comes out with days is said in a plan, as it is of a recipe that exists;
// without its metal, or where nothing is saturated, nothing is.
func TestAPlanSaysWhatComesOutWithDays(t *testing.T) {
	for with, want := range map[string]bool{"MgCl2 100 mM": true, "MgCl2 0.1 mM": false, "NaCl 100 mM": false} {
		d := buffer.NewDemand(10)
		r, err := written.Read(with, d.Volume)
		require.NoError(t, err)
		d.Buffer, d.With = "CAPS", r.Ingredients()
		notes := strings.Join(draft(t, d).Notes, "\n")
		assert.Equal(t, want, strings.Contains(notes, "over days, or when heated: brucite, Mg(OH)2, precipitates"), "%s: %s", with, notes)
	}
}

// Above 3 mol/kg the sheet does not send anybody to a coach that refuses.
func TestTooStrongIsTitratedByHand(t *testing.T) {
	d := buffer.NewDemand(7.4)
	for _, m := range []float64{0.15, 5} {
		r, err := written.Read(fmt.Sprintf("NaCl %g M", m), d.Volume)
		require.NoError(t, err)
		d.Buffer, d.With = "HEPES", r.Ingredients()
		var words []string
		for _, s := range draft(t, d).Sheet(prepare.Doing{Calibrate: "calibrate", Titrate: "the coach"}) {
			words = append(words, s.Text, strings.Join(s.Cautions, " "))
		}
		all := strings.Join(words, "\n")
		assert.Equal(t, m > 3, strings.Contains(all, "by hand, in small portions"), "%g M", m)
		assert.Equal(t, m < 3, strings.Contains(all, "the coach"), "%g M", m)
		assert.Equal(t, m > 3, strings.Contains(all, "the program gives no advice"), "%g M", m)
	}
}
