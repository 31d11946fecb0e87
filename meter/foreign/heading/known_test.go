package heading_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/foreign/heading"
)

// What the lines above a table say of a titration; of two that differ neither is taken.
func TestHeading(t *testing.T) {
	k, notes := heading.From([]string{"Titrant: 0.1042 mol/L NaOH", "sample volume 25.00 mL"})
	assert.Empty(t, notes)
	assert.InDelta(t, 0.1042, k.Molar, 1e-9)
	assert.InDelta(t, 25, k.SampleML, 1e-9)
	assert.Equal(t, "a sample of 25 mL, a titrant of 0.1042 mol/L", k.Words())
	assert.Len(t, k.From, 2)

	k, notes = heading.From([]string{"sample volume 25.00 mL", "sample volume 50.00 mL"})
	assert.Zero(t, k.SampleML)
	assert.NotEmpty(t, notes)
}

// Strengths in the units that laboratories write, of charge: what gives or takes two protons
// counts twice, unless it is counted in equivalents already. Whole logs with such lines are in
// foreign/shapes_test.go.
func TestStrengths(t *testing.T) {
	for line, want := range map[string]float64{
		"NaOH 100 mM": 0.1, "KOH 0.1 N": 0.1, "HCl 100 meq/L": 0.1, "NaOH 50 mmol/L": 0.05, "NaOH 0.1 mol·dm-3": 0.1,
		"H2SO4 0.05 mol/L": 0.1, "H2SO4 0.1 N": 0.1, "H2SO4 100 meq/L": 0.1, "Ba(OH)2 0.05 M": 0.1,
		"normality of the titrant: 0.1": 0.1, "H2SO4, normality 0.1": 0.1, "concentration of titrant: 0,2": 0.2,
		"conc. NaOH 0.1": 0.1, "the base is 0.1 M, which is NaOH": 0.1, "0.1 M acetic acid with NaOH": 0, "standard titrant 0.1 M": 0.1, "NaOH 0.1 (2) M": 0.1,
		"NaOH 19 M": 19, "NaOH 21 M": 0, // more does not dissolve
		"unknown NaOH 0.1 M": 0, "ionic strength 0.1 M": 0, "0.1 M of nothing in particular": 0,
		"titre of NaOH 12.5": 0, "NaOH 0.1 M, HCl 0.2 M": 0, "NaOH": 0,
	} {
		k, _ := heading.From([]string{line})
		assert.InDelta(t, want, k.Molar, 1e-9, line)
	}
	k, notes := heading.From([]string{"NaOH 0.1 M", "KOH 0.2 M"})
	assert.Zero(t, k.Molar)
	assert.Contains(t, notes[0], "several strengths")
	k, _ = heading.From([]string{"NaOH 0.1 M", "titrant NaOH 0.1 M"})
	assert.InDelta(t, 0.1, k.Molar, 1e-9, "the same is said twice")
	assert.Len(t, k.From, 2)
	k, _ = heading.From([]string{"NaOH 0.1 M", "HCl 0.1 M"})
	assert.False(t, k.Acid || k.Base, "of both nobody knows which is given")
	k, _ = heading.From([]string{"titrant: HCl"})
	assert.True(t, k.Acid && !k.Base)
	k, _ = heading.From([]string{"HCl in the flask"})
	assert.False(t, k.Acid, "no strength, and no word of the titrant")
}

// A factor is taken where it is one, from 0.8 to 1.2, and where the strength is that of a
// label, of one figure.
func TestFactors(t *testing.T) {
	for said, want := range map[string]float64{
		"factor 0.81": 0.081, "factor 1.19": 0.119, "factor 0.79": 0.1, "factor 1.21": 0.1, "faktor: 1,025": 0.1025, "f 1.5": 0.1,
		"titer 0.99; factor 1.01": 0.099, "titer = 0.9985": 0.09985,
	} {
		k, notes := heading.From([]string{"NaOH 0.1 M", said})
		assert.InDelta(t, want, k.Molar, 1e-9, said)
		assert.Equal(t, want != 0.1, len(notes) == 1 && len(k.From) == 2, said)
	}
	for _, lines := range [][]string{{"NaOH 0.1 M", "factor 0.99", "factor 1.01"}, {"NaOH 0.11 M", "factor 0.99"}, {"NaOH 0.1 M", "factor 0.99", "factor 1.90"}} {
		k, notes := heading.From(lines)
		assert.InDelta(t, 0.1, k.Molar, 0.011, lines)
		assert.Empty(t, notes, lines)
	}
	k, _ := heading.From([]string{"NaOH 0.1 M, factor 0.99"})
	assert.InDelta(t, 0.099, k.Molar, 1e-9)
	assert.Len(t, k.From, 1, "one line says both")
}

func TestSamples(t *testing.T) {
	for line, want := range map[string]float64{
		"Aliquot: 25 mL": 25, "sample volume (L) 0.05": 50, "V0 25 mL": 25, "sample 250 µL": 0.25, "initial vol. 10 cm3": 10,
		"sample volume 99999": 99999, "sample volume 100001": 0, "sample 0 mL": 0,
		"burette, initial volume 5 mL": 0, "sample in the burette: 5 mL": 5, "sample 7": 0, "flask of 250 mL": 0,
	} {
		k, _ := heading.From([]string{line})
		assert.InDelta(t, want, k.SampleML, 1e-9, line)
	}
}

// The size of a drop is taken where one is given, below 1 mL, and where lines agree.
func TestDrops(t *testing.T) {
	for said, want := range map[string]float64{
		"drop size 50 µL": 0.05, "volume of a drop: 0.048 mL": 0.048, "1 drop = 0.05 mL": 0.05, "drop volume 0.99 mL": 0.99,
		"drop volume 1.5 mL": 0, "drop size 50": 0, "drop size small": 0, "drops 12": 0, "drop size 0 mL": 0,
		"drop size 50 µL\n1 drop = 0.05 mL": 0.05, "drop size 50 µL\n1 drop = 0.04 mL": 0, "NaOH\ndrop size 40 µL": 0.04,
	} {
		ml, from := heading.DropIn(strings.Split(said, "\n"))
		assert.InDelta(t, want, ml, 1e-9, said)
		assert.Equal(t, want > 0, from != "", said)
	}
}

func TestWordsOfKnown(t *testing.T) {
	assert.Empty(t, heading.Known{}.Words())
	assert.Equal(t, "a titrant of 0.1 mol/L", heading.Known{Molar: 0.1}.Words())
}
