package written_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written"
)

// Stocks that every laboratory makes, as strangers write them; the amounts are reckoned by hand.
func TestEverydayStocks(t *testing.T) {
	no := math.NaN()
	for text, want := range map[string]content{
		// 408.3 g of the trihydrate, brought down with glacial acetic acid (laboratory manuals, from
		// memory): the sodium is 3 M, not the acetate.
		"3 M sodium acetate pH 5.2":    {parts{"sodium acetate": 3000}, 5.2, "acetic acid", 0},
		"3M NaOAc, pH 5.2":             {parts{"sodium acetate": 3000}, 5.2, "acetic acid", 0},
		"3 M potassium acetate pH 5.5": {parts{"potassium acetate": 3000}, 5.5, "acetic acid", 0},
		"1 M Na-acetate pH 5.5":        {parts{"sodium acetate": 1000}, 5.5, "acetic acid", 0},
		"3M Sodium Acetate (pH 5.2), 100 ml: 24.6 g sodium acetate anhydrous, pH to 5.2 with glacial acetic acid, dH2O to 100 ml": {parts{"sodium acetate": 299.9}, 5.2, "acetic acid", 0.1},
		// 29.5 mL of glacial acetic acid in 100 mL and KOH to the pH (laboratory manuals, from memory).
		"5 M KOAc pH 4.8": {parts{"acetic acid": 5000}, 4.8, "KOH", 0},
		// A buffer has its strength in all its acetate, and so has a strong one on the side of its acid.
		"0.1 M sodium acetate pH 5.2":            {parts{"acetic acid": 100}, 5.2, "NaOH", 0},
		"0.9 M sodium acetate pH 5.2":            {parts{"acetic acid": 900}, 5.2, "NaOH", 0},
		"1 M sodium acetate pH 4.9":              {parts{"acetic acid": 1000}, 4.9, "NaOH", 0},
		"1 M sodium acetate pH 5.1":              {parts{"sodium acetate": 1000}, 5.1, "acetic acid", 0},
		"3 M sodium acetate-acetic acid pH 5.2":  {parts{"acetic acid": 3000}, 5.2, "NaOH", 0},
		"3 M NaOAc/HOAc pH 5.2":                  {parts{"acetic acid": 3000}, 5.2, "NaOH", 0},
		"20 mM Tris, 100 mM acetate, pH 8.0":     {parts{"Tris": 20, "sodium acetate": 100}, 8, "HCl", 0},
		"1 M sodium acetate, 20 mM MOPS, pH 7.0": {parts{"sodium acetate": 1000, "MOPS": 20}, 7, "", 0},
		// What is made up is not swallowed with what it is made up to.
		"41.0 mL 0.2 M acetic acid + 9.0 mL 0.2 M sodium acetate diluted to 100 mL": {parts{"acetic acid": 8.2, "sodium acetate": 1.8}, no, "", 0.1},
		"20 mL 1 M Tris; 9.0 mL 5 M NaCl brought to 100 mL with water":              {parts{"Tris": 20, "sodium chloride": 45}, no, "", 0.1},
		"20 mL 1 M Tris; bring 9 mL 1 M HCl to 100 mL":                              {parts{"Tris": 20, "hydrochloric acid": 9}, no, "", 0.1},
		"Tris 6.057 g; dissolve in 80 mL water and bring to 100 mL":                 {parts{"Tris": 50}, no, "", 0.1},
		"1.0 M K2HPO4 80.2 ml, 1.0 M KH2PO4 19.8 ml to 1 l (pH 7.4)":                {parts{"dipotassium phosphate": 80.2, "monopotassium phosphate": 19.8}, 7.4, "", 1},
		// The words of tables of buffers.
		"Na-phosphate 0.1 M pH 7.0: 39 ml of 0.2 M NaH2PO4 + 61 ml of 0.2 M Na2HPO4, diluted to a total of 200 ml":            {parts{"monosodium phosphate": 7.8, "disodium phosphate": 12.2}, 7, "", 0.2},
		"0.2 M Na-borate pH 8.4: 12.37 g boric acid, NaOH, to 1 L":                                                            {parts{"boric acid": 200}, 8.4, "NaOH", 1},
		"0.1 M MES, 0.5 M NaCl, pH 6.0 (EDC coupling)":                                                                        {parts{"MES": 100, "sodium chloride": 500}, 6, "", 0},
		"0.1 M MES, 0.5 M NaCl, pH 6.0 (sodium hydroxide)":                                                                    {parts{"MES": 100, "sodium chloride": 500}, 6, "sodium hydroxide", 0},
		"TBST = 20 mM Tris, 150 mM NaCl, pH 7.6":                                                                              {parts{"Tris": 20, "sodium chloride": 150}, 7.6, "", 0},
		"P3 3.0 M potassium acetate pH 5.5":                                                                                   {parts{"potassium acetate": 3000}, 5.5, "acetic acid", 0},
		"Phosphate buffer 0.1 M, pH 7.4 = 19 ml 0.2 M NaH2PO4 + 81 ml 0.2 M Na2HPO4 + 100 ml H2O":                             {parts{"monosodium phosphate": 3.8, "disodium phosphate": 16.2}, 7.4, "", 0.2},
		"Citrate buffer pH 6.0: Solution A 0.1 M citric acid 9 ml, solution B 0.1 M trisodium citrate 41 ml, water to 500 ml": {parts{"citric acid": 0.9, "trisodium citrate": 4.1}, 6, "", 0.5},
		"5 mM glucose, 20 mM Tris-HCl and 100 mM NaCl at pH 8.0":                                                              {parts{"glucose": 5, "Tris": 20, "sodium chloride": 100}, 8, "HCl", 0},
		"20 mM HEPES at pH 7.4, 2 mM MgCl2":                                                                                   {parts{"HEPES": 20, "magnesium chloride": 2}, 7.4, "", 0},
		"20 mM HEPES/2 mM (NH4)2SO4/pH 7.4":                                                                                   {parts{"HEPES": 20, "ammonium sulfate": 2}, 7.4, "", 0},
		"50 mM Tris to pH 8.0":                                                                                                {parts{"Tris": 50}, 8, "", 0},
		"glycine 7.507 g/L, adjusted to pH 2.5 by HCl":                                                                        {parts{"glycine": 100}, 2.5, "HCl", 0},
		"0.1M Sorensen's phosphate buffer pH 7.4":                                                                             {parts{"monosodium phosphate": 100}, 7.4, "NaOH", 0},
		"50 mM Tris-HCl pH 6.8, 0.02 % BPB, 0.004 % bromphenol blue":                                                          {parts{"Tris": 50}, 6.8, "HCl", 0},
	} {
		want.isRead(t, text, 0.003)
	}
}

// A label is none that a part could be without its amount, or that names what goes in.
func TestWhatIsNoLabel(t *testing.T) {
	for text, want := range map[string]parts{
		"MES 50 mM, NaCl 100 mM":      {"MES": 50, "sodium chloride": 100},
		"NaCl = 150 mM; Tris = 20 mM": {"sodium chloride": 150, "Tris": 20},
	} {
		want.areRead(t, text, 1e-6)
	}
	for _, text := range []string{"XYZ 5 mM Tris 20 mM", "XYZ 5 mM, Tris 20 mM", "PBS 0.05 % Tween 20"} {
		_, err := written.Read(text, chem.Litre)
		assert.Error(t, err, text)
	}
}

// Two stocks in the styles in which people write what is poured and what it is made up to: 25 mL of NaCl
// 5 M and 30 mL of Tris 1 M in 500 mL, each style with each.
func TestStylesOfPouring(t *testing.T) {
	want := parts{"sodium chloride": 125, "Tris": 30}
	for _, one := range []string{"%[3]s mL of %[2]s M %[1]s", "%[3]s mL %[2]s M %[1]s", "%[2]s M %[1]s %[3]s mL", "%[1]s %[2]s M, %[3]s mL", "%[2]s M %[1]s: %[3]s mL", "%[2]s M %[1]s (%[3]s mL)", "%[1]s (%[2]s M) %[3]s ml"} {
		a, b := fmt.Sprintf(one, "NaCl", "5", "25"), fmt.Sprintf(one, "Tris", "1", "30")
		for _, all := range []string{
			"%s; %s; water to 500 mL", "%s\n%s\nH2O to 500 mL", "%s + %s, made up to 500 mL", "%s + %s diluted to 500 mL", "%s, %s, bring to 500 mL with water", "%s and %s, dilute to 500 ml", "For 500 mL: %s, %s",
			"Mix %s, %s and make up to 500 mL with dH2O", "%s, %s, ad 500 ml H2O", "%s, %s, final volume 500 mL", "%s plus %s, then water to 0.5 L", "%s, %s topped up to 500 mL", "%s, %s in a total volume of 500 mL", "%s, %s in 500 mL",
		} {
			text := fmt.Sprintf(all, a, b)
			r := want.areRead(t, text, 1e-6)
			assert.InDelta(t, 0.5, r.Volume.Litres(), 1e-9, text)
		}
	}
	// A volume alone is what the whole is made up to.
	for _, text := range []string{"Tris 50 mM, NaCl 150 mM, 500 mL", "Tris 50 mM, NaCl 150 mM, 500 mL, pH 8", "NaCl 150 mM; 500 mL; Tris 50 mM"} {
		assert.InDelta(t, 0.5, parts{"Tris": 25, "sodium chloride": 75}.inItsVolume(t, text), 1e-9, text)
	}
}

// inItsVolume asserts the amounts in what a recipe is made up to, and is that in L.
func (want parts) inItsVolume(t *testing.T, text string) float64 {
	t.Helper()
	r, err := written.Read(text, chem.Litre)
	require.NoError(t, err, text)
	for _, p := range r.Parts {
		assert.InEpsilon(t, want[p.Reagent.Name], p.Amount.Millimoles(), 1e-6, text)
	}
	require.Len(t, r.Parts, len(want), text)
	return r.Volume.Litres()
}

// Two forms of one strength beside a pH that they do not give are asked about: equal amounts of
// phosphates 0.1 M read 6.65 together (pK2 7.198 less what activities do at I 0.4). What they do give, and
// what stands beside another buffer, is as it is written.
func TestTwoFormsOfOneStrength(t *testing.T) {
	for text, want := range map[string]parts{
		"0.1 M NaH2PO4 / 0.1 M Na2HPO4 to pH 7.4":                  {"monosodium phosphate": 100},
		"0.1 M NaH2PO4 adjusted to pH 7.4 with 0.1 M Na2HPO4":      {"monosodium phosphate": 100},
		"0.1 M NaH2PO4, 0.1 M Na2HPO4, pH 7.04":                    {"monosodium phosphate": 100},
		"0.2 M K2HPO4, 0.2 M KH2PO4, pH 6.1":                       {"monopotassium phosphate": 200},
		"0.1 M sodium carbonate, 0.1 M NaHCO3, 0.1 M NaCl; pH 9.2": {"sodium hydrogen carbonate": 100},
	} {
		_, err := written.Read(text, chem.Litre)
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, text)
		assert.Contains(t, bad[0].What, "are they two solutions", text)
		_, other, _ := strings.Cut(bad.Hints()[0], "write \"")
		other, _, _ = strings.Cut(other, "\"")
		want.areRead(t, other, 1e-6)
	}
	for _, text := range []string{
		"50 mM NaH2PO4, 50 mM Na2HPO4, pH 6.8", "0.8 M K2HPO4, 0.8 M NaH2PO4, 0.1 M HEPES pH 7.5", "50 mM NaH2PO4, 50 mM Na2HPO4", "10 mM Na2HPO4, 1.8 mM KH2PO4, pH 7.4",
		"0.2 M K2HPO4, 0.2 M KH2PO4, pH 6.5", "0.1 M NaH2PO4, 0.1 M Na2HPO4, pH 6.9", "50 mL 0.1 M NaH2PO4, 50 mL 0.1 M Na2HPO4, pH 7.4, to 1 L",
	} {
		_, err := written.Read(text, chem.Litre)
		assert.NoError(t, err, text)
	}
}

// Neither reading of a salt beside a pH goes without the other, as a recipe that is read as that.
func TestASaltBesideAPHSaysTheOtherReading(t *testing.T) {
	for text, want := range map[string]parts{
		"3 M sodium acetate pH 5.2":    {"acetic acid": 3000},
		"0.1 M sodium acetate pH 5.2":  {"sodium acetate": 100},
		"10 mM sodium citrate, pH 6.0": {"trisodium citrate": 10},
		"2.4 M sodium malonate pH 7.0": {"malonic acid": 2400},
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		_, other, ok := strings.Cut(r.Notes[0], `write "`)
		require.True(t, ok, r.Notes)
		want.areRead(t, strings.TrimSuffix(other, `"`), 1e-6)
	}
	for _, text := range []string{"0.1 M acetate buffer pH 5", "50 mM Tris-HCl pH 8", "sodium acetate 50 mM; pH 5 with acetic acid", "20 mM CHES-NaOH pH 9.5", "25 mM MES, 25 mM Na-acetate, 25 mM HEPES pH 5.5", "20 mM sodium phosphate pH 7"} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.NotContains(t, strings.Join(r.Notes, "\n"), "write \"", text)
	}
}

// A gas that it is kept under is none of its parts.
func TestAGasAboveIt(t *testing.T) {
	for _, text := range []string{
		"26 mM NaHCO3, 1 mM MgSO4, bubbled with 95% O2/5% CO2", "26 mM NaHCO3, 1 mM MgSO4; gassed with 95 % O2 + 5 % CO2", "26 mM NaHCO3, 1 mM MgSO4, saturated with 95% O2 and 5% CO2",
		"26 mM NaHCO3, 1 mM MgSO4, gassed with carbogen (95% O2, 5% CO2), pH 7.4 at 37 °C", "26 mM NaHCO3, 1 mM MgSO4 equilibrated with 5% CO2/95% air", "26 mM NaHCO3, 1 mM MgSO4, under 5 % CO2",
		"NaHCO3 26 mM; MgSO4 1 mM; in a 5 % CO2 atmosphere", "26 mM NaHCO3, 1 mM MgSO4, oxygenated with carbogen",
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.InDelta(t, 0.05, r.Gas, 1e-9, text)
		assert.Len(t, r.Parts, 2, text)
	}
	r, err := written.Read("26 mM NaHCO3, 1 mM MgSO4", chem.Litre)
	require.NoError(t, err)
	assert.Zero(t, r.Gas)
	_, err = written.Read("5 % CO2", chem.Litre)
	assert.ErrorContains(t, err, "the gas above it says how much", "and nothing by itself")
}
