package written_test

import (
	"fmt"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A heading on a line of its own has no colon as often as not.
func TestAHeadingOnALineOfItsOwn(t *testing.T) {
	for text, want := range map[string]parts{
		"Lysis buffer\n50 mM NaH2PO4 (6.90 g NaH2PO4·H2O)\n300 mM NaCl (17.53 g)\nadjust to pH 8.0 with NaOH":   {"monosodium phosphate": 50, "sodium chloride": 300},
		"SDS-PAGE running buffer\nTris 3.028 g\nglycine 14.41 g":                                                {"Tris": 25, "glycine": 192},
		"Lysis buffer (1 L)\n50 mM Tris\n300 mM NaCl":                                                           {"Tris": 50, "sodium chloride": 300},
		"Buffer A\nComponent | Final | Amount\nNaCl | 300 mM | 17.53 g\nTris | 50 mM | 6.057 g":                 {"Tris": 50, "sodium chloride": 300},
		"Buffer A\nComponent | Final | Amount\nTris-HCl pH 8.2 | 50 mM | 50 mL of 1 M\nNaCl | 300 mM | 17.53 g": {"Tris": 50, "hydrochloric acid": 27, "sodium chloride": 300},
		"TBS\nReagent\tAmount\tFinal conc.\nTris\t6.057 g\t50 mM\nNaCl\t8.766 g\t150 mM":                        {"Tris": 50, "sodium chloride": 150},
		"phosphate-citrate buffer pH 5.0, 25.7 mL 0.2 M Na2HPO4, 24.3 mL 0.1 M citric acid, 50 mL water":        {"disodium phosphate": 5.14, "citric acid": 2.43},
		"Phosphate lysis mix\n50 mM NaH2PO4\n150 mM NaCl":                                                       {"monosodium phosphate": 50, "sodium chloride": 150},
		"HEPES-buffered saline, 150 mM NaCl, 20 mM HEPES":                                                       {"HEPES": 20, "sodium chloride": 150},
		"Wash buffer, 50 mM Tris, 150 mM NaCl":                                                                  {"Tris": 50, "sodium chloride": 150},
		"10x TBS\nTris 24.23 g\nNaCl 87.66 g":                                                                   {"Tris": 200, "sodium chloride": 1500},
		"Wash 1, pH 7.5\n20 mM Tris\n1 M NaCl":                                                                  nil,
		"Wash buffer pH 7.5\n20 mM Tris\n1 M NaCl":                                                              {"Tris": 20, "sodium chloride": 1000},
	} {
		if want == nil {
			_, err := written.Read(text, chem.Litre)
			assert.Error(t, err, text)
			continue
		}
		tol := 2e-3
		if want["hydrochloric acid"] > 0 { // of the stock, by the pKa′ at 1 M
			tol = 0.06
		}
		want.areRead(t, text, tol)
	}
	r, err := written.Read("Wash buffer pH 7.5\n20 mM Tris\n1 M NaCl", chem.Litre)
	require.NoError(t, err)
	assert.Equal(t, 7.5, r.PH)
}

// What could be a part without its amount is none.
func TestWhatIsNoHeading(t *testing.T) {
	for _, text := range []string{
		"Tris\n1 M NaCl 10 mL\n1 M KCl 10 mL",
		"Tris\n50 mM NaCl\n10 mM KCl",
		"HEPES buffer pH 7.4, 150 mM NaCl, 5 mM KCl",
		"HEPES-buffered saline, 150 mM NaCl, 5 mM KCl, pH 7.4",
		"HEPES wash\n150 mM NaCl\n5 mM KCl\npH 7.4",
		"HEPES-KOH\n50 mM NaCl\n10 mM KCl",
		"PBS\n0.05 % Tween 20\n1 mM EDTA",
		"Tris 50\n50 mM NaCl\n10 mM KCl",
	} {
		_, err := written.Read(text, chem.Litre)
		assert.Error(t, err, text)
	}
}

// Everyday headings without a colon: of a buffer that the rows supply, and of what it is for.
// A buffer that no row supplies is left out, and what to do is said.
func TestEverydayHeadings(t *testing.T) {
	for _, text := range []string{
		"Phosphate buffer\nNa2HPO4 10 mM\nNaH2PO4 10 mM",
		"phosphate buffer pH 7.0\n10 mM Na2HPO4\n10 mM NaH2PO4",
		"Acetate buffer\nsodium acetate 10 mM\nacetic acid 10 mM",
		"Elution solution\nTris 20 mM\nNaCl 500 mM",
		"Wash mix\nTris 20 mM\nNaCl 500 mM",
		"HEPES buffer\nHEPES 20 mM\nNaCl 500 mM",
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.Len(t, r.Parts, 2, text)
		first, _, _ := strings.Cut(text, "\n")
		assert.Contains(t, strings.Join(r.Notes, "\n"), fmt.Sprintf("%q is taken as a heading", first))
	}
	for _, text := range []string{"Phosphate buffer\nNaCl 10 mM\nKCl 10 mM", "Acetate buffer\nNaCl 10 mM\nTris 10 mM", "HEPES\nNaCl 10 mM\nTris 10 mM"} {
		_, err := written.Read(text, chem.Litre)
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, text)
		assert.Contains(t, bad.Hints()[0], "if it is a heading, put a colon behind it", text)
	}
	_, err := written.Read("NaCl 10 mM\nHEPES\nTris 10 mM", chem.Litre)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.NotContains(t, bad.Hints()[0], "heading", "it stands among the parts")
}

// How many times stronger a recipe is than what is used says its heading.
func TestHowManyTimesStronger(t *testing.T) {
	for text, want := range map[string]float64{
		"10x TBS: 200 mM Tris, 1.5 M NaCl":               10,
		"TBS (10×): 200 mM Tris, 1.5 M NaCl":             10,
		"10-fold TBS: 200 mM Tris, 1.5 M NaCl":           10,
		"5x running buffer (125 mM Tris, 1.2 M glycine)": 5,
		"50X TAE\nTris 242 g\nglacial acetic acid 57 mL": 50,
		"TBS: 20 mM Tris, 150 mM NaCl":                   0,
		"1x TE: 10 mM Tris, 1 mM EDTA":                   1,
		"2xYT salts: 5 g NaCl, 1 g KCl":                  0,
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.Equal(t, want, r.Times, text)
	}
	r, err := written.Read("1 M MOPS, 0.2 M sodium acetate, 10 mM EDTA, pH 7.0 (10x MOPS)", chem.Litre)
	require.NoError(t, err)
	assert.Len(t, r.Parts, 3)
	r, err = written.Read("10 mM HEPES, 0.005 % surfactant P20", chem.Litre)
	require.NoError(t, err)
	assert.Equal(t, "polysorbate 20", r.Parts[1].Reagent.Name)
}

// What is poured from a stock is measured from it; what has a pH of its own stays what it is.
func TestTheBottlesOfARecipe(t *testing.T) {
	r, err := written.Read("5 M NaCl 30 mL; EDTA 0.5 M pH 8.0 2 mL; KCl 10 mM; glycerol 50 % 20 mL; DTT 0.15 g", chem.Litre)
	require.NoError(t, err)
	list := r.Bottles()
	require.Len(t, list, 2)
	assert.Equal(t, "NaCl 5 M", list[0].Name())
	assert.Equal(t, "EDTA disodium salt", list[1].Reagent.Name)
	assert.InDelta(t, 0.5, float64(list[1].Molar), 1e-12)
	_, err = written.ReadBottle("EDTA 0.5 M pH 8")
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad[0].What, "a pH of its own")
}

// A heading that names a buffer of which nothing else says how much is a gap, and said.
func TestABufferInTheHeadingAlone(t *testing.T) {
	for text, want := range map[string]bool{
		"HEPES-buffered saline: 150 mM NaCl, 5 mM KCl":           true,
		"HEPES-buffered saline: 150 mM NaCl, 20 mM HEPES":        false,
		"10x TBS: 200 mM Tris, 1.5 M NaCl":                       false,
		"Phosphate buffer: 2.6 g NaH2PO4·H2O; 21 g Na2HPO4·7H2O": false,
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.Equal(t, want, strings.Contains(strings.Join(r.Notes, "\n"), "names a buffer, of which"), text)
	}
}
