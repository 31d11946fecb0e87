package prepare_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/prepare"
	"example.org/halfdrop/chem/recipe/written"
)

// More of the buffer among the rest is said, once.
func TestMoreOfTheBufferIsSaid(t *testing.T) {
	d := buffer.NewDemand(8)
	d.Buffer = "Tris"
	r, err := written.Read("Tris 20 mM", d.Volume)
	require.NoError(t, err)
	d.With = r.Ingredients()
	assert.Contains(t, draft(t, d).Notes, "Tris brings more of the buffer: 70 mM of Tris in all")
}

// The buffer AMP is said in full, since a nucleotide is called so too.
func TestABufferWithTheNameOfAnotherThing(t *testing.T) {
	d := buffer.NewDemand(9.5)
	d.Buffer = "AMP"
	assert.Contains(t, strings.Join(draft(t, d).Notes, " "), `"AMP" is taken as the buffer, 2-amino-2-methyl-1-propanol`)
	d.Buffer, d.PH = "Tris", 8
	assert.NotContains(t, strings.Join(draft(t, d).Notes, " "), "is taken as the buffer")
}

// A solid that is no form of the buffer is not passed over in silence.
func TestASolidThatIsNoForm(t *testing.T) {
	d := buffer.NewDemand(7.4)
	d.Buffer, d.Have = "HEPES", []string{"Tris"}
	assert.Contains(t, strings.Join(draft(t, d).Notes, " "), "is a form of HEPES: Tris")
	d.Have = []string{"Tris", "HEPES-Na"}
	assert.NotContains(t, strings.Join(draft(t, d).Notes, " "), "is a form of")
}

// Any salt raises the ionic strength, not those of two single charges alone: 300 mM
// are 100 mM of sodium sulfate on top of 29 mM of buffer, less for what pairs.
func TestTheIonicStrengthOfAnySalt(t *testing.T) {
	for salt, most := range map[string]float64{"NaCl": 0.30, "CaCl2": 0.10, "Na2SO4": 0.10, "(NH4)2SO4": 0.10} {
		for _, way := range []buffer.Way{buffer.ByTitrant, buffer.BySalts} {
			d := buffer.NewDemand(8)
			d.Buffer, d.Salt, d.Ionic, d.Way, d.Volume = "Tris", salt, 0.3, way, 1
			x := draft(t, d)
			assert.InDelta(t, 0.3, x.InUse.MolarStrength(), 2e-3, salt)
			assert.InEpsilon(t, 0.9*most, x.Salt.Moles(), 0.12, "%s", salt)
		}
	}
	d := buffer.NewDemand(8)
	d.Buffer, d.Salt, d.Ionic = "Tris", "urea", 0.3
	_, err := buffer.Rank(d)
	assert.ErrorContains(t, err, "urea does not bring the ionic strength")
	d.Salt, d.Ionic = "NaCl", 0.005
	_, err = buffer.Rank(d)
	assert.ErrorContains(t, err, "ionic strength of 29", "of the form that gives the least")
}

// What a recipe leaves out of account is said in a plan as well.
func TestWhatIsLeftOutOfTheSheetIsSaid(t *testing.T) {
	d := buffer.NewDemand(8)
	r, err := written.Read("Salts: NaCl 150 mM, EDTA 1 mM, 10 µg/mL aprotinin; NaCl 50 mM", d.Volume)
	require.NoError(t, err)
	assert.Equal(t, []string{`"Salts" is taken as a heading: what follows counts as it is written`, "sodium chloride is named twice: both count"}, r.Remarks())
	d.With, d.Read = r.Ingredients(), r.Remarks()
	d.Buffer, d.Apart = "Tris", []string{"10 µg/mL aprotinin (too little of it)"}
	assert.Subset(t, draft(t, d).Notes, d.Read)
	assert.Contains(t, strings.Join(draft(t, d).Notes, "\n"), "left out of account, and of the sheet: 10 µg/mL aprotinin (too little of it")
}

// The usual buffers for electrophoresis are used as they come: nothing is said to go into
// them without that. A buffer beside imidazole for a column is far from its pH.
func TestWhatIsUsedAsItComes(t *testing.T) {
	for with, want := range map[string]bool{"glycine 192 mM": true, "boric acid 89 mM; EDTA 2 mM": true, "imidazole 500 mM": false, "NaCl 150 mM": false, "acetic acid 12.5 mM; EDTA 0.6 mM": true, "acetic acid 5.5 mM": false} {
		d := buffer.NewDemand(8.3)
		d.Buffer, d.Molar = "Tris", 0.025
		if with[0] == 'b' {
			d.Molar = 0.089
		}
		r, err := written.Read(with, d.Volume)
		require.NoError(t, err)
		d.With = r.Ingredients()
		assert.Equal(t, want, strings.Contains(strings.Join(draft(t, d).Notes, "\n"), "used as it comes"), with)
	}
}

// Chloride that HCl leaves is said where there is none, and not beside ten times as much salt.
func TestChlorideIsSaidWhereThereIsNone(t *testing.T) {
	for with, want := range map[string]bool{"": true, "NaCl 137 mM": false} {
		d := buffer.NewDemand(7.4)
		d.Buffer, d.Molar, d.Have = "phosphate", 0.0118, []string{"disodium phosphate dihydrate"}
		if with != "" {
			r, err := written.Read(with, d.Volume)
			require.NoError(t, err)
			d.With = r.Ingredients()
		}
		assert.Equal(t, want, strings.Contains(strings.Join(draft(t, d).Notes, "\n"), "of chloride besides"), with)
	}
}

// A sample buffer, four times as strong as it is used, holds a fifth of thiol and two fifths of
// glycerol: there is water enough for a pH in a beaker that is filled more than is usual;
// the detergent waits until the pH is set.
func TestAStockWithLittleWaterIsFilledMore(t *testing.T) {
	d := buffer.NewDemand(6.8)
	d.Buffer, d.Molar, d.Volume, d.Times, d.Anyway = "Tris", 0.0625, 50*chem.Millilitre, 4, true
	r, err := written.Read("SDS 2 %; glycerol 10 %; 2-mercaptoethanol 5 %", d.Volume*4)
	require.NoError(t, err)
	d.With = r.Ingredients()
	x := draft(t, d)
	assert.InDelta(t, 42.5, x.Setup.Start.Millilitres(), 0.1)
	assert.InDelta(t, 12.5, x.Setup.Weighed[0].Amount.Millimoles(), 0.01)
}

// What is to evaporate is titrated back with what does as well: hydrochloric acid leaves ammonium
// chloride in ammonium formate (common practice, no source). Tris acetate is not evaporated.
func TestWhatIsToEvaporate(t *testing.T) {
	note := func(name string, ph float64, acid, base string) string {
		d := demanded(t, name, ph, 0.05, 0.5, "")
		if acid != "" {
			d.Acid = acid
		}
		d.Base = base
		return strings.Join(draft(t, d).Notes, "\n")
	}
	const says = "leaves a salt that does not evaporate"
	assert.Regexp(t, `back-titration with HCl \S+ M `+says, note("formate", 3.5, "", "NH3"))
	assert.Regexp(t, `back-titration with NaOH \S+ M `+says, note("pyridine", 5.5, "acetic acid", ""))
	assert.NotContains(t, note("pyridine", 5.5, "acetic acid", "NH3"), says)
	assert.NotContains(t, note("formate", 4.2, "formic acid", "NH3"), says)
	assert.NotContains(t, note("Tris", 8, "acetic acid", ""), says)
	assert.NotContains(t, note("sodium acetate", 4.7, "acetic acid", ""), says, "sodium acetate stays in any case")
	assert.NotContains(t, note("acetate", 4.7, "", ""), says, "sodium acetate stays in any case")
}

// Formic acid below its pK is what people bring a formate to pH 3.5 with: so is it planned, with
// how little of it acts there, how much more formate comes of that, and what is not known of the
// amount. By hand: pKa′ is 3.75 − 0.11 at an ionic strength of 0.1 (Davies), so that at pH 3.5
// there are 1.38 of the acid to each of the 50 mmol of formate.
func TestAWeakAcidIsATitrant(t *testing.T) {
	plan := func(ph float64) (*prepare.Draft, error) {
		d := demanded(t, "sodium formate", ph, 0.1, 0.5, "")
		d.Acid, d.Anyway = "formic acid", true
		list, err := buffer.Rank(d)
		if err != nil {
			return nil, err
		}
		return prepare.For(d, list[0])
	}
	x, err := plan(3.5)
	require.NoError(t, err)
	assert.InEpsilon(t, 50*math.Pow(10, 3.75-0.11-3.5), x.Amount.Millimoles(), 0.03)
	words := strings.Join(x.Notes, "\n")
	assert.Regexp(t, `formic acid is a weak acid at pH 3\.5: near the aim only (39|4[0-3]) % of it acts`, words)
	assert.Contains(t, words, "formic acid brings more of the buffer: 2")
	// ± 0.03 pH of a beaker of 70 mmol per pH, of acid of which four tenths act; 5 % of care.
	assert.InDelta(t, math.Hypot(0.05*70, 0.03*70/0.42), x.AmountSD.Millimoles(), 1.5)

	x, err = plan(2.8)
	require.NoError(t, err, "an eighth of it acts")
	assert.Contains(t, strings.Join(x.Notes, " "), "a weak acid at pH 2.8")
	_, err = plan(2.6)
	assert.ErrorContains(t, err, "formic acid is not an acid at pH 2.6")
	for _, ph := range []float64{3.8, 4.2} { // 0.6 and more of it act
		x, err = plan(ph)
		require.NoError(t, err)
		assert.NotContains(t, strings.Join(x.Notes, " "), "is a weak acid")
	}
}

// The chloride that HCl leaves is besides a metal that has a name.
func TestTheMetalBesideTheChlorideIsNamed(t *testing.T) {
	d := demanded(t, "cacodylate", 6.5, 0.1, 0.5, "")
	assert.Contains(t, strings.Join(draft(t, d).Notes, "\n"), "mmol of chloride besides the Na+ of the salt; mixed salts")
}

// What is wrong with a buffer is said once.
func TestNothingIsNotedTwice(t *testing.T) {
	d := demanded(t, "cacodylate", 6.5, 0.1, 0.5, "")
	assert.Equal(t, 1, strings.Count(strings.Join(draft(t, d).Notes, "\n"), "holds arsenic"))
	d = demanded(t, "malate", 5, 0.1, 0.5, "")
	assert.Contains(t, strings.Join(draft(t, d).Notes, "\n"), "malate: a metabolite")
}
