package written_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/written"
)

// An amount that is said once for several names counts for each of them, figures with a
// power of ten are figures, and a list may have its unit behind the last.
func TestReadsListsOfOneAmount(t *testing.T) {
	for text, want := range map[string]parts{
		"2 mM each ATP, GTP, CTP and UTP; Tris 40 mM":                                        {"ATP disodium salt": 2, "GTP disodium salt": 2, "CTP disodium salt": 2, "UTP trisodium salt": 2, "Tris": 40},
		"Tris 40 mM, 0.5 mM each NTP":                                                        {"ATP disodium salt": 0.5, "GTP disodium salt": 0.5, "CTP disodium salt": 0.5, "UTP trisodium salt": 0.5, "Tris": 40},
		"MES, HEPES, Tris 20 mM each, pH 7.0":                                                {"MES": 20, "HEPES": 20, "Tris": 20},
		"NaCl and KCl (50 mM each), Tris 10 mM":                                              {"sodium chloride": 50, "potassium chloride": 50, "Tris": 10},
		"50 mM each of Tris, glycine; NaCl 100 mM":                                           {"Tris": 50, "glycine": 50, "sodium chloride": 100},
		"1e-3 M Tris; NaCl 1.5E-1 M":                                                         {"Tris": 1, "sodium chloride": 150},
		"1.5 x 10^-3 M Tris, 10⁻² M NaCl":                                                    {"Tris": 1.5, "sodium chloride": 10},
		"NaCl 118, KCl 4.7, glucose 11 mM, pH 7.4":                                           {"sodium chloride": 118, "potassium chloride": 4.7, "glucose": 11},
		"Krebs: NaCl 118, KCl 4.7, MgSO4 1.2 mM":                                             {"sodium chloride": 118, "potassium chloride": 4.7, "magnesium sulfate": 1.2},
		"TBS-T (20 mM Tris, 150 mM NaCl), pH 7.6":                                            {"Tris": 20, "sodium chloride": 150},
		"acetic acid, glacial 5.72 mL; Tris 12.11 g":                                         {"acetic acid": 100, "Tris": 100},
		"HEPES 23.83 g + HEPES Na salt 2.603 g to 1 L":                                       {"HEPES": 100, "HEPES sodium salt": 10},
		"HEPES 10 mM; NaCl 145; KCl 5":                                                       {"HEPES": 10, "sodium chloride": 145, "potassium chloride": 5},
		"20 mM Tris pH 7.4 (from 1 M stock)":                                                 {"Tris": 20},
		"Locke's: 154 NaCl, 5 KCl, 5 HEPES (mM), pH 7.2":                                     {"HEPES": 5, "sodium chloride": 154, "potassium chloride": 5},
		"Lysis buffer: 50 mM NaH2PO4 (6.90 g NaH2PO4·H2O), 10 mM imidazole (0.68 g), pH 8.0": {"monosodium phosphate": 50, "imidazole": 10},
		"20 mM HEPES, 150 mM NaCl, pH to 7.4 w/ 5M NaOH":                                     {"HEPES": 20, "sodium chloride": 150},
		"20 mL/L glycerol, Tris 10 mM":                                                       {"glycerol": 273.9, "Tris": 10},
		"10 mM Tris, 2 mM MgATP":                                                             {"Tris": 10, "ATP magnesium salt": 2},
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		got := parts{}
		for _, p := range r.Parts {
			got[p.Reagent.Name] += p.Amount.Millimoles()
		}
		require.Len(t, got, len(want), "%s: %v", text, got)
		for name, mmol := range want {
			assert.InEpsilon(t, mmol, got[name], 5e-3, "%s: %s", text, name)
		}
	}
	for text, part := range map[string]string{
		"20 mM Tris; 0.1 mM NTPs":  "each or all together", // of NTPs it is not said
		"NaCl 118; HEPES 10 mM":    "amount",               // one bare figure may be a slip
		"1 mM AgNO3; MES 10 mM":    "silver is in no table here",
		"KCl 4.7 mM, NaCl 118 oz.": "amount",
	} {
		_, err := written.Read(text, chem.Litre)
		assert.ErrorContains(t, err, part, text)
	}
}
