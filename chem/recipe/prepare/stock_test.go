package prepare_test

import (
	"math"
	"strings"
	"testing"

	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"github.com/stretchr/testify/assert"
)

// What a stock reads beside what it reads diluted is known as well as activities are at both
// strengths: of tenfold phosphate-buffered saline, of which makers say 6.8 and the model 6.9 to
// 7.0, to 0.1. A sheet that leads to such a reading says so, and has a diluted sample read.
func TestAStockIsReadDiluted(t *testing.T) {
	of := func(way buffer.Way, times float64) (string, float64) {
		d := demanded(t, "phosphate", 7.4, 0.01, times, "NaCl 137 mM; KCl 2.7 mM") // a litre of the stock makes so many
		d.Volume, d.Times, d.Way = 1, times, way
		x := draft(t, d)
		return sheetOf(t, x), x.Aim.StrengthSD
	}
	for _, way := range []buffer.Way{buffer.ByTitrant, buffer.BySalts} {
		text, sd := of(way, 10)
		assert.InDelta(t, 0.12, sd, 0.04, way) // 6.8 to 7.0
		assert.Contains(t, text, "What the stock is to read is known to ± 0.1 only. Near the aim go by a diluted sample: 1 mL of it made up to 10 mL, read at 25 °C, is to be pH 7.40.")
		assert.Contains(t, text, "± 0.1 because it is made stronger")
	}
	text, _ := of(buffer.ByTitrant, 10)
	assert.Contains(t, text, "± 0.1 is predicted", "as titrated to what the stock is to read")
	text, _ = of(buffer.BySalts, 10)
	assert.Contains(t, text, "± 0.02 is predicted", "as weighed")
	text, sd := of(buffer.ByTitrant, 1)
	assert.Zero(t, sd)
	assert.NotContains(t, text, "diluted sample")
	d := demanded(t, "Tris", 8, 0.02, 1, "")
	d.Times = 5 // 0.1 M: both strengths are low
	x := draft(t, d)
	assert.Less(t, x.Aim.StrengthSD, 0.015)
	assert.NotContains(t, sheetOf(t, x), "What the stock is to read")
}

// A heat that is not well known makes the aim at another temperature as doubtful: by 8 kJ/mol,
// as of an amine whose heat is estimated, 0.0047 per °C and 0.10 over 21 °C.
func TestAnAimAtAnotherTemperatureIsAsSureAsItsHeat(t *testing.T) {
	d := demanded(t, "N-methyldiethanolamine", 8.3, 0.02, 1, "")
	d.Use = 4
	x := draft(t, d)
	assert.InDelta(t, 21*8e3/(8.314*math.Ln10*298.15*298.15), x.Aim.TemperatureSD, 0.02)
	assert.Contains(t, x.Aim.Words(d.Bench, d.Use), "± 0.1 because the pH changes with temperature")
	d = demanded(t, "Tris", 8.3, 0.02, 1, "")
	d.Use = 4
	assert.NotContains(t, draft(t, d).Aim.Words(25, 4), "±", "of Tris it is known to 0.5 kJ/mol")
}

// What is titrated with the acid of the buffer itself has more of it in the end: 1 M of sodium
// acetate at pH 5.2 takes 10^(pKa′ − 5.2) of acetic acid, 0.25 to 0.3 M with pKa′ 4.60 to 4.68:
// 4.57 in concentrations (Martell & Smith 1977), and H⁺ with a coefficient of 0.8 to 0.9.
func TestAcidOfTheBufferItselfBringsMoreOfIt(t *testing.T) {
	d := demanded(t, "sodium acetate", 5.2, 1, 1, "")
	d.Acid = "acetic acid"
	x := draft(t, d)
	notes := strings.Join(x.Notes, "\n")
	assert.Regexp(t, `acetic acid brings more of the buffer: 1(2[5-9]|30)0 mM of acetate in all`, notes)
	d.Acid = "HCl"
	assert.NotContains(t, strings.Join(draft(t, d).Notes, "\n"), "brings more")

	// With a tenth more of it from another salt all is a tenth more, in one sentence.
	d = demanded(t, "sodium acetate", 5.2, 1, 1, "potassium acetate 100 mM")
	d.Acid = "acetic acid"
	notes = strings.Join(draft(t, d).Notes, "\n")
	assert.Regexp(t, `potassium acetate and acetic acid bring more of the buffer: 1(3[78]|39|4[0-3])0 mM of acetate in all`, notes)
	assert.Equal(t, 1, strings.Count(notes, "more of the buffer"), notes)
}

// A spread of the aim is said from where it is printed as 0.02, worse than a meter is read; and
// a diluted sample is read where two standard deviations of the strength leave the tolerance.
func TestWhereTheAimIsDoubted(t *testing.T) {
	by := func(sd float64) string {
		return prepare.Aim{Target: 8, Shown: 8.5, Temperature: 0.5, TemperatureSD: sd}.Words(5, 25)
	}
	assert.NotContains(t, by(0.014), "±")
	assert.Contains(t, by(0.016), "+0.50 ± 0.02 because")

	d := demanded(t, "phosphate", 7.4, 0.01, 1, "NaCl 137 mM; KCl 2.7 mM")
	d.Times = 10
	x := draft(t, d)
	steps := func(sd float64) (all string) {
		x.Aim.StrengthSD = sd * x.Demand.Tolerance
		for _, s := range x.Sheet(prepare.Doing{}) {
			all += strings.Join(s.Details, "\n")
		}
		return all
	}
	assert.NotContains(t, steps(0.45), "diluted sample: 1 mL")
	assert.Contains(t, steps(0.55), "diluted sample: 1 mL")
}
