package written_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Recipes as people write them, in one litre.
func TestReadsWhatPeopleWrite(t *testing.T) {
	type part struct {
		name string
		mmol float64
	}
	for text, want := range map[string][]part{
		"Tris 6.057 g; HCl 29 mmol":                              {{"Tris", 50}, {"hydrochloric acid", 29}},
		"50 mM Tris, 29 mM HCl":                                  {{"Tris", 50}, {"hydrochloric acid", 29}},
		"Tris 1 M 50 mL + HCl 0.1 M 292 mL":                      {{"Tris", 50}, {"hydrochloric acid", 29.2}},
		"50 mL of 1 M Tris":                                      {{"Tris", 50}},
		"50 mM Tris-HCl pH 8.0, 150 mM NaCl, 1 mM EDTA":          {{"Tris", 50}, {"sodium chloride", 150}, {"EDTA disodium salt", 1}},
		"20 mM HEPES-KOH (pH 7.4), 5 mM MgCl2 and 10 % glycerol": {{"HEPES", 20}, {"magnesium chloride", 5}, {"glycerol", 1369.2}},
		"NaCl 8 g/L; KCl 0.2 g/L":                                {{"sodium chloride", 136.9}, {"potassium chloride", 2.683}},
		"0.05 % (v/v) polysorbate 20":                            {{"polysorbate 20", 552.5}},
		"0.1% (w/v) SDS":                                         {{"SDS", 3.468}},
		"sucrose 0,25 M":                                         {{"sucrose", 250}},
		"10 µM ZnCl2":                                            {{"zinc chloride", 0.01}},
		"1 mg/mL NaCl":                                           {{"sodium chloride", 17.11}},
		"acetic acid 57.1 mL":                                    {{"acetic acid", 993.5}},
		"6 N HCl 10 mL":                                          {{"hydrochloric acid", 60}},
		"- 100 mM NaCl\n- 50 mM sodium phosphate buffer, pH 7.0": {{"sodium chloride", 100}, {"monosodium phosphate", 50}},
		"NaCl 0.15 M; adjust pH to 7.4 with NaOH; water to 1 L":  {{"sodium chloride", 150}},
		"imidazole 250 mM; pH 8.0 at 25 °C":                      {{"imidazole", 250}},
		"DTT 1 mM; TCEP 0.5 mM; ATP 2 mM":                        {{"DTT", 1}, {"TCEP hydrochloride", 0.5}, {"ATP disodium salt", 2}},
		"Na2HPO4·7H2O 2.68 g":                                    {{"disodium phosphate", 10}},
		"urea 480.5 g":                                           {{"urea", 8000}},
		"ddH2O; NaCl 1 M":                                        {{"sodium chloride", 1000}},
		"add 5.844 g of NaCl; fill up to 1000 mL with water":     {{"sodium chloride", 100}},
		"EDTA (0.2 M) 5 mL":                                      {{"EDTA disodium salt", 1}},
		"1,4-dithiothreitol 2 mM":                                {{"DTT", 2}},
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		require.Len(t, r.Parts, len(want), "%s: %v", text, r.Parts)
		for i, w := range want {
			assert.Equal(t, w.name, r.Parts[i].Reagent.Name, text)
			assert.InEpsilon(t, w.mmol, r.Parts[i].Amount.Millimoles(), 2e-3, text)
		}
	}
}

func TestReadsThePHAndWhatBringsIt(t *testing.T) {
	for text, want := range map[string]struct {
		ph, temp float64
		titrant  string
		volume   float64
	}{
		"50 mM Tris-HCl pH 8.0; NaCl 100 mM":                               {8, math.NaN(), "HCl", 0},
		"HEPES 20 mM; adjust to pH 7.45 with KOH at 4 °C; water to 500 mL": {7.45, 4, "KOH", 0.5},
		"HEPES 20 mM; NaOH to pH 7.4":                                      {7.4, math.NaN(), "NaOH", 0},
		"Tris 20 mM, NaCl 500 mM, pH = 7,9 (25 °C)":                        {7.9, 25, "", 0},
		"NaCl 100 mM":        {math.NaN(), math.NaN(), "", 0},
		"Tris 12.1 g in 1 L": {math.NaN(), math.NaN(), "", 1},
	} {
		r, err := written.Read(text, 2*chem.Litre)
		require.NoError(t, err, text)
		same := func(a, b float64) { assert.True(t, a == b || math.IsNaN(a) && math.IsNaN(b), "%s: %g, %g", text, a, b) }
		same(want.ph, r.PH)
		same(want.temp, r.Temp)
		assert.Equal(t, want.titrant, r.Titrant, text)
		assert.InDelta(t, want.volume, r.Volume.Litres(), 1e-12, text)
	}
}

// What cannot be read is said: what, and what to try; all faults in one list.
func TestReadSaysWhatItDoesNotUnderstand(t *testing.T) {
	for text, want := range map[string]string{
		"HEPSE 20 mM":                            "HEPES",
		"AMP 50 mM":                              "2-amino-2-methyl-1-propanol",
		"NaCl 1,250 g":                           "1.5",
		"NaCl 5 g 100 mM":                        "give one",
		"Na2HPO4 1.44 g":                         "heptahydrate",
		"HCl 5 mL":                               "strength",
		"PEG 8000 10 mM":                         "% w/v",
		"NaCl":                                   "as in",
		"1x PBS, pH 7.4":                         "write its parts",
		"Buffer (20 mM Tris, pH 8): NaCl 100 mM": "unknown reagent",
		"Tris -5 mM, pH 8":                       "−5 mM: an amount is above zero",
		"Tris 50 kM":                             `"kM" is no unit`,
		"Tris 5 °C":                              `"°C" is no unit`,
		"NaCl 50 mg/dL":                          `"mg/dL" is no unit`,
		"0.1 M citrate-phosphate, pH 5":          "citric acid and disodium phosphate",
		"50 mM Tris pH8 pH 7":                    "pH 8 and pH 7",
		"Tris 20 mM pH 8; MES 20 mM; adjust to pH 6.5 with HCl": "pH 6.5 and pH 8",
		"glycerol 10 % w/w":            "% w/v",
		"":                             "semicolons",
		"HEPSE 20 mM; MGO 10; Triss 5": "Tris",
	} {
		_, err := written.Read(text, chem.Litre)
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, text)
		said := err.Error()
		for _, h := range bad.Hints() {
			said += " " + h
		}
		assert.Contains(t, said, want, text)
		assert.NotContains(t, said, "--", text)
	}
	_, err := written.Read("HEPSE 20 mM; NaCl; Tris 1 mM", chem.Litre)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Len(t, bad, 2)
}
