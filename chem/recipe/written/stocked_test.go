package written_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Stocks with a pH of their own, bottles as sold, jars by their label, headings:
// mmol in a litre of what stands in it.
func TestReadsStocksAndBottles(t *testing.T) {
	for text, want := range map[string]struct {
		parts parts
		tol   float64
	}{
		// 500 mL of NaOH 1 M, about, to a litre of 0.5 M (reference README; common practice).
		"0.5 M EDTA pH 8.0 2 mL": {parts{"EDTA disodium salt": 1, "sodium hydroxide": 1}, 0.03},
		// Half of the amount near the pKa′ of 8.1 to 8.3 (Bates and Hetzer 1961 have 8.07 at I = 0).
		"10 mL of 1 M Tris-HCl, 20 mL of 1 M Tris-HCl pH 8.2; pH 8": {parts{"Tris": 30, "hydrochloric acid": 11}, 0.06},
		"conc. HCl 8.33 mL":   {parts{"hydrochloric acid": 100.8}, 0.01}, // 12.1 M
		"HCl 36 % 10 mL":      {parts{"hydrochloric acid": 116}, 0.01},
		"SDS 10 % 10 mL":      {parts{"SDS": 3.468}, 1e-3},
		"glycerol 50 % 20 mL": {parts{"glycerol": 136.9}, 1e-3},
		// What is weighed is what the jar says, beside a pH too.
		"Tris-HCl 15.76 g, pH 8.0":                                {parts{"Tris hydrochloride": 100}, 2e-3},
		"sodium acetate trihydrate 13.61 g; pH 5.2":               {parts{"sodium acetate": 100}, 2e-3},
		"20 mM MOPS, 5 mM sodium acetate, pH 7.0":                 {parts{"MOPS": 20, "sodium acetate": 5}, 1e-6},
		"50 mM sodium acetate, 100 mM NaCl, pH 5.0":               {parts{"acetic acid": 50, "sodium chloride": 100}, 1e-6},
		"10x TBS: 200 mM Tris, 1.5 M NaCl, pH 7.6":                {parts{"Tris": 200, "sodium chloride": 1500}, 1e-6},
		"NaCl: 5.844 g; KCl: 0.7455 g":                            {parts{"sodium chloride": 100, "potassium chloride": 10}, 1e-3},
		"MnCl2 2 mM in Tris-HCl 50 mM pH 8.5":                     {parts{"manganese(II) chloride": 2, "Tris": 50}, 1e-6},
		"L-arginine HCl 21.07 g":                                  {parts{"L-arginine hydrochloride": 100}, 2e-3},
		"50 mM HEPES (Na salt)":                                   {parts{"HEPES sodium salt": 50}, 1e-6},
		"0.02 % Tween-20; 1 % Triton X-100; 30 % PEG 4000":        {parts{"polysorbate 20": 221, "octoxynol-9": 10650, "PEG 4000": 300000}, 2e-3},
		"65 % PEG 400; 2 M thiourea; 0.1 M RbCl; BSA 1 g/L":       {parts{"PEG 400": 733200, "thiourea": 2000, "rubidium chloride": 100, "bovine serum albumin": 1000}, 2e-3},
		"Tris 12.11 g in 800 mL water; HCl 50 mmol; water to 1 L": {parts{"Tris": 100, "hydrochloric acid": 50}, 1e-3},
		"Buffer A (20 mM HEPES, pH 7.5, 200 mM NaCl)":             {parts{"HEPES": 20, "sodium chloride": 200}, 1e-6},
		"20 mmol l-1 HEPES, 150 mmol l⁻¹ NaCl; 0.1 molar Tris":    {parts{"HEPES": 20, "sodium chloride": 150, "Tris": 100}, 1e-6},
		"HEPES, 20 mM; NaCl,150 mM; 2 millimolar EDTA, pH 7.4":    {parts{"HEPES": 20, "sodium chloride": 150, "EDTA disodium salt": 2}, 1e-6},
		"mix 39 mL of 0.2 M NaH2PO4 and 61 mL of 0.2 M Na2HPO4":   {parts{"monosodium phosphate": 7.8, "disodium phosphate": 12.2}, 1e-6},
		"500 mM NaCl / 20 mM Tris pH 7.9 / 5 mM imidazole":        {parts{"sodium chloride": 500, "Tris": 20, "imidazole": 5}, 1e-6},
		"25mM Tris-HCl(pH7.5),150mM NaCl,2mM MgCl2,1mM DTT":       {parts{"Tris": 25, "sodium chloride": 150, "magnesium chloride": 2, "DTT": 1}, 1e-6},
		"MOPS 20.93 g, 10N NaOH to pH 7.0, LiOAc 10 mM":           {parts{"MOPS": 100, "lithium acetate": 10}, 2e-3},
		"5 mM K2HPO4; 1 mM KH2PO4 adjusted to pH 7.4":             {parts{"dipotassium phosphate": 5, "monopotassium phosphate": 1}, 1e-6},
		"glycine 7.507 g, HCl conc. 5 mL":                         {parts{"glycine": 100, "hydrochloric acid": 60.5}, 1e-3},
		"20 mM HEPES pH 7.4 at room temperature, 2 mM Mg(OAc)2":   {parts{"HEPES": 20, "magnesium acetate": 2}, 1e-6},
		"1,4-dithiothreitol 2 mM, 2-mercaptoethanol 5 mM":         {parts{"DTT": 2, "2-mercaptoethanol": 5}, 1e-6},
	} {
		want.parts.areRead(t, text, want.tol)
	}
	_, err := written.Read("ammonia 15 % 10 mL", chem.Litre)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad.Hints()[0], "28 %")
}

// What stands last before the pH is an ingredient, unless it is said to bring it there.
func TestWhatStandsBeforeThePH(t *testing.T) {
	for text, want := range map[string][2]string{ // the last part, the titrant
		"HEPES 50 mM; 2 mM EGTA pH 7.4":                        {"EGTA", ""},
		"HEPES 50 mM; citric acid 5 mM pH 7.4":                 {"citric acid", ""},
		"HEPES 50 mM; 10 N NaOH to pH 7.4":                     {"HEPES", "NaOH"},
		"sodium acetate 50 mM; pH 5 with glacial acetic acid":  {"sodium acetate", "acetic acid"},
		"20 mM NaHCO3 titrated to pH 8.5 w/ NaOH":              {"sodium hydrogen carbonate", "NaOH"},
		"70 mM Tris, 1 mM EDTA adjusted to pH 7.6 using HCl":   {"EDTA disodium salt", "HCl"},
		"4.84 g Tris, 2 ml 0.2 M EDTA; to 1 L with dH2O; pH 8": {"EDTA disodium salt", ""},
		"HEPES 50 mM; NaOH pH 7.4":                             {"HEPES", "NaOH"},
		"1 M imidazole, pH 8.0, HCl":                           {"imidazole", "HCl"},
		"TCEP 0.5 M pH 7.0 NaOH":                               {"TCEP hydrochloride", "NaOH"},
		"HEPES 10 mM; pH 7.4 NaOH; filtered 0.22 µm, degassed": {"HEPES", "NaOH"},
		"1 M imidazole, pH 8.0, HCl, 1 mM EDTA":                {"EDTA disodium salt", "HCl"},
		"Na2HPO4 50 mM; adjust to pH 7.4 with citric acid":     {"disodium phosphate", "citric acid"},
		"Na2HPO4 50 mM; citric acid to pH 6":                   {"disodium phosphate", "citric acid"},
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		require.NotEmpty(t, r.Parts, text)
		assert.Equal(t, want[0], r.Parts[len(r.Parts)-1].Reagent.Name, text)
		assert.Equal(t, want[1], r.Titrant, text)
	}
	b, err := written.ReadBottle("HCl 37 %")
	require.NoError(t, err)
	assert.InDelta(t, 12.1, float64(b.Molar), 0.05)
	_, err = written.ReadBottle("NaCl 37 %")
	require.ErrorContains(t, err, "only about", "more than dissolves")

	// By mass in a volume: 20 g of 65.01 g/mol, and 100 g of 288.4 g/mol.
	for text, molar := range map[string]float64{"NaN3 2 %": 0.3076, "SDS 10 % w/v": 0.3468, "SDS 100 g/L": 0.3468, "NaN3 20 mg/mL": 0.3076} {
		b, err := written.ReadBottle(text)
		require.NoError(t, err, text)
		assert.InEpsilon(t, molar, float64(b.Molar), 0.001, text)
	}
	_, err = written.ReadBottle("MgCl2 10 %")
	require.ErrorContains(t, err, "say which", "of which hydrate")
}

// Water with its volume or mass, and nothing else.
func TestWaterAlone(t *testing.T) {
	v, byMass, ok := written.Water("water 1 L")
	assert.True(t, ok && !byMass)
	assert.InDelta(t, 1, v.Litres(), 1e-12)
	v, byMass, ok = written.Water("H2O 500 g")
	assert.True(t, ok && byMass)
	assert.InDelta(t, 0.5, v.Litres(), 1e-12)
	_, _, ok = written.Water("NaOH 1 M 10 mL")
	assert.False(t, ok)
}

// Two forms in one name, a base with the anion of its acid, and what a name implies without
// saying it: none of these names its own amount of acid or base.
func TestNamesOfTwo(t *testing.T) {
	for text, want := range map[string][3]string{ // the reagent, the titrant, implied
		"0.1 M sodium acetate-acetic acid pH 5":           {"acetic acid", "NaOH", "true"},
		"0.1 M citric acid-sodium citrate pH 4.5":         {"citric acid", "NaOH", "true"},
		"0.1 M K2HPO4-KH2PO4, pH 7.5":                     {"monopotassium phosphate", "KOH", "true"},
		"0.1 M NH3-NH4Cl pH 10":                           {"ammonia", "HCl", "true"},
		"0.2 M boric acid-borax pH 8.4":                   {"boric acid", "NaOH", "true"},
		"0.05 M HCl-KCl pH 1.5":                           {"potassium chloride", "HCl", "false"},
		"imidazole-acetate 50 mM pH 7":                    {"imidazole", "acetic acid", "false"},
		"20 mM histidine acetate pH 6.0":                  {"L-histidine", "acetic acid", "false"},
		"piperazine-phosphate 20 mM pH 6":                 {"piperazine", "phosphoric acid", "false"},
		"Bis-Tris-acetate 20 mM pH 6.0":                   {"Bis-Tris", "acetic acid", "false"},
		"TEAA 0.1 M pH 7.0":                               {"triethylamine", "acetic acid", "true"},
		"50 mM pyridine acetate pH 5.5":                   {"pyridine", "acetic acid", "false"},
		"20 mM ammonium formate pH 3.5":                   {"ammonium formate", "formic acid", "true"},
		"20 mM sodium phosphate pH 7.4":                   {"monosodium phosphate", "NaOH", "true"},
		"20 mM HEPES-KOH pH 7.4":                          {"HEPES", "KOH", "false"},
		"2-amino-2-methyl-1-propanol-HCl 50 mM pH 9.5":    {"2-amino-2-methyl-1-propanol", "HCl", "false"},
		"50 mM Tris-HCl pH 7.5":                           {"Tris", "HCl", "false"},
		"100 mM sodium acetate, 20 mM HEPES-NaOH, pH 7.5": {"sodium acetate", "NaOH", "false"},
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.Equal(t, want, [3]string{r.Parts[0].Reagent.Name, r.Titrant, fmt.Sprint(r.Implied)}, text)
	}
}

// What cannot be computed and kills is not answered with a name that is spelt like it.
func TestWhatKillsIsNotASlip(t *testing.T) {
	for text, gas := range map[string]string{"10 mM KCN": "hydrogen cyanide", "sodium sulfide 5 mM": "hydrogen sulfide", "0.1 % NaOCl": "chlorine"} {
		_, err := written.Read("50 mM Tris pH 8; "+text, chem.Litre)
		require.ErrorContains(t, err, gas, text)
		assert.NotContains(t, err.Error(), "did you mean")
		assert.Contains(t, err.Error(), "leave it out")
	}
}

// An aldehyde is left out of account, with its hazard; of a primary amine it is said that it is
// taken away.
func TestAnAldehydeBesideAnAmine(t *testing.T) {
	say := func(text string) string {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.True(t, r.Aldehyde)
		return strings.Join(r.Notes, "\n")
	}
	assert.Regexp(t, `(?s)toxic, and so is its vapour.*condenses with the primary amine of Tris`, say("4 % PFA, 50 mM Tris-HCl pH 7.4"))
	assert.NotContains(t, say("4 % paraformaldehyde in 0.1 M phosphate buffer pH 7.4"), "condenses")
	r, err := written.Read("4 % PFA", chem.Litre)
	require.NoError(t, err, "beside a buffer that is named apart")
	assert.Empty(t, r.Parts)
	assert.Len(t, r.Apart, 1)
}

// The pH in a stock is not that of the whole.
func TestTheWholeHasItsOwnPH(t *testing.T) {
	r, err := written.Read("1 M Tris-HCl pH 8.0 50 mL, 5 M NaCl 30 mL, 0.5 M EDTA pH 8.0 2 mL", chem.Litre)
	require.NoError(t, err)
	assert.True(t, math.IsNaN(r.PH))
	assert.Empty(t, r.Titrant)
	r, err = written.Read("1 M Tris pH 8.0 50 mL; adjust to pH 7.5 with HCl", chem.Litre)
	require.NoError(t, err)
	assert.Equal(t, 7.5, r.PH)
	r, err = written.Read("Tris 12.1 g in 80 mL; pH 8", 100*chem.Millilitre)
	require.NoError(t, err)
	assert.True(t, r.Loose)
	assert.InDelta(t, 0.08, r.Volume.Litres(), 1e-12)
	r, err = written.ReadMadeUp("Tris 12.1 g in 80 mL; pH 8", 100*chem.Millilitre)
	require.NoError(t, err)
	assert.Zero(t, r.Volume)
}

// A recipe that says its pH is brought there, unless its parts are what makes it.
func TestWhatARecipeLeavesUnsaid(t *testing.T) {
	for text, own := range map[string]bool{
		"20 mM Tris pH 8.0, 100 mM NaCl":                                false,
		"10 mM MOPS, 75 mM CaCl2, 15 % glycerol, pH 6.5":                false,
		"50 mM HEPES, 5 mM MgCl2, 2 mM EGTA pH 7.4":                     false,
		"ethanolamine 61 g pH 9.5":                                      false,
		"50 mM NaH2PO4, 300 mM NaCl, 10 mM imidazole, pH 8.0":           false,
		"15 mM Na2CO3, 35 mM NaHCO3, pH 9.6":                            true,
		"Tris 50 mM; HCl 29 mM; pH 8.0":                                 true,
		"Tris 40 mM; acetic acid 20 mM; EDTA 1 mM; pH 8.3":              true,
		"1 M Tris pH 8.0 50 mL, 5 M NaCl 30 mL; final pH 8.0":           true,
		"Tris 89 mM, boric acid 89 mM, EDTA 2 mM, pH 8.3":               false,
		"10 mM Na2HPO4, 1.8 mM KH2PO4, 137 mM NaCl, 2.7 mM KCl, pH 7.4": true,
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.Equal(t, own, r.ItsOwn(), text)
	}
}

// What a recipe says that it is brought to its pH with is not said otherwise of a part of it.
func TestWhatBringsItIsSaidOnce(t *testing.T) {
	r, err := written.Read("25 mM ammonium phosphate pH 2.5 with phosphoric acid", chem.Litre)
	require.NoError(t, err)
	assert.Equal(t, "phosphoric acid", r.Titrant)
	assert.Contains(t, strings.Join(r.Notes, "\n"), "is taken as ammonium dihydrogen phosphate, brought to its pH")
	assert.NotContains(t, strings.Join(r.Notes, "\n"), "NH3")
	_, err = written.Read("sodium lactate 3.1 g; NaCl 6 g", chem.Litre)
	require.ErrorContains(t, err, "112.1 g of it without water are 1 mol")
}
