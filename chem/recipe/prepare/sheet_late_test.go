package prepare_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/table"
)

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
