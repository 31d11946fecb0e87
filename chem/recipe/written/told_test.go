package written_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written"
)

// Recipes as methods sections and pages of laboratories tell them, in words of our
// own; amounts by hand from molar masses, in one litre or in what they say.
func TestReadsWhatIsTold(t *testing.T) {
	no := math.NaN()
	for text, want := range map[string]content{
		// German.
		"Natriumchlorid 8,0 g; Kaliumchlorid 0,2 g; Dinatriumhydrogenphosphat (wasserfrei) 1,42 g; mit Wasser auf 1 L auffüllen": {parts{"sodium chloride": 136.9, "potassium chloride": 2.683, "disodium phosphate": 10}, no, "", 1},
		"Tris 12,11 g, Salzsäure 1 M 50 mL, dest. Wasser ad 1000 ml":                                                             {parts{"Tris": 100, "hydrochloric acid": 50}, no, "", 1},
		"Natronlauge 1 M 20 ml; Citronensäure 10 mM":                                                                             {parts{"sodium hydroxide": 20, "citric acid": 10}, no, "", 0},
		"2,42 g Tris, 8,0 g NaCl, pH mit HCl auf 7,6 einstellen, mit H2O auf 1000 ml auffüllen":                                  {parts{"Tris": 20, "sodium chloride": 136.9}, 7.6, "HCl", 1},
		"Für 1 L: 10 mM Tris, 1 mM EDTA, mit HCl auf pH 8,0 eingestellt":                                                         {parts{"Tris": 10, "EDTA disodium salt": 1}, 8, "HCl", 1},
		"Puffer A: 50 mM Natriumphosphat pH 7,0, 150 mM Natriumchlorid, 5 % Glycerin":                                            {parts{"monosodium phosphate": 50, "sodium chloride": 150, "glycerol": 684.6}, 7, "NaOH", 0},
		"20 g NaCl in 500 ml H2O lösen, mit H2O auf 1 L auffüllen":                                                               {parts{"sodium chloride": 342.2}, no, "", 1},
		"1 M Kaliumacetat, mit Essigsäure auf pH 5,5 einstellen":                                                                 {parts{"potassium acetate": 1000}, 5.5, "Essigsäure", 0},
		"10 mM HEPES und 5 mM Magnesiumchlorid":                                                                                  {parts{"HEPES": 10, "magnesium chloride": 5}, no, "", 0},
		"Tris (Hydrochlorid) 50 mM":                                                                                              {parts{"Tris hydrochloride": 50}, no, "", 0},
		// A salt beside its own acid is a salt, whatever the pH.
		"acetic acid 0.1 M; sodium acetate 0.1 M; pH 4.7":           {parts{"acetic acid": 100, "sodium acetate": 100}, 4.7, "", 0},
		"0.05 M citric acid, 0.05 M trisodium citrate, pH 4.5":      {parts{"citric acid": 50, "trisodium citrate": 50}, 4.5, "", 0},
		"50 mM HEPES, 20 mM sodium acetate, acetic acid 5 mM, pH 7": {parts{"HEPES": 50, "sodium acetate": 20, "acetic acid": 5}, 7, "", 0},
		// Sentences.
		"The buffer contained 25 mM HEPES (pH 7.4), 150 mM KCl, and 10% (v/v) glycerol.":                       {parts{"HEPES": 25, "potassium chloride": 150, "glycerol": 1369.2}, 7.4, "", 0},
		"Cells were lysed in 50 mM Tris-HCl (pH 7.5) containing 150 mM NaCl and 1 mM EDTA.":                    {parts{"Tris": 50, "sodium chloride": 150, "EDTA disodium salt": 1}, 7.5, "HCl", 0},
		"Samples were dialyzed against 10 mM potassium phosphate (pH 7.0)":                                     {parts{"monopotassium phosphate": 10}, 7, "KOH", 0},
		"The reaction (1 mL) contained 50 mM Tricine-KOH, pH 8.0, 10 mM MgCl2":                                 {parts{"Tricine": 50, "magnesium chloride": 10}, 8, "KOH", 0},
		"To 800 mL of water add 2.423 g Tris, 8 g NaCl. Adjust the pH to 7.4 with HCl, then add water to 1 L.": {parts{"Tris": 20, "sodium chloride": 136.9}, 7.4, "HCl", 1},
		"The pellet was resuspended in 1 mL of 20 mM HEPES, pH 7.4":                                            {parts{"HEPES": 20}, 7.4, "", 0},
		"The column was washed with 5 volumes of 20 mM HEPES, 1 M KCl":                                         {parts{"HEPES": 20, "potassium chloride": 1000}, no, "", 0},
		"1.0 mM each of MgCl2 and CaCl2 in 10 mM HEPES (pH 7.4)":                                               {parts{"magnesium chloride": 1, "calcium chloride": 1, "HEPES": 10}, 7.4, "", 0},
		"0.5 mol EDTA disodium, about 20 g NaOH pellets, pH 8.0, 1 L":                                          {parts{"EDTA disodium salt": 500, "sodium hydroxide": 500}, 8, "", 1},
		"NaCl 0.9 %, Tris 10 mM, adj. pH 7.4":                                                                  {parts{"sodium chloride": 154, "Tris": 10}, 7.4, "", 0},
		"10 mM Tris (7.5), 50 mM NaCl":                                                                         {parts{"Tris": 10, "sodium chloride": 50}, 7.5, "", 0},
		"10 mM L-histidine/L-histidine-HCl pH 6.0":                                                             {parts{"L-histidine": 10}, 6, "HCl", 0},
		"3,03 g Tris-Base, 14,41 g Glycin, ad 1 l H2O":                                                         {parts{"Tris": 25, "glycine": 192}, no, "", 1},
		"Tris 50 mM, Salzsäure bis pH 7,4":                                                                     {parts{"Tris": 50}, 7.4, "Salzsäure", 0},
		"20mM Tris⋅HCl, pH 8.0/150mM NaCl/5mM βME":                                                             {parts{"Tris": 20, "sodium chloride": 150, "2-mercaptoethanol": 5}, 8, "HCl", 0},
		"Lysis buffer = 50 mM NaH2PO4 + 300 mM NaCl, pH 8.0 (NaOH)":                                            {parts{"monosodium phosphate": 50, "sodium chloride": 300}, 8, "NaOH", 0},
		"5 mM K2HPO4, pH with H3PO4 to 6.5":                                                                    {parts{"dipotassium phosphate": 5}, 6.5, "H3PO4", 0},
		"HEPES 20.0mM; NaCl 150.0mM ; pH=7.40±0.05":                                                            {parts{"HEPES": 20, "sodium chloride": 150}, 7.4, "", 0},
		"Tris 20 mM, NaCl 0.5 M, pH 7.9 (4 degrees)":                                                           {parts{"Tris": 20, "sodium chloride": 500}, 7.9, "", 0},
		// Units and columns.
		"HEPES 20 mmol dm-3, NaCl 0.1 mol dm⁻³, KCl 0.002 mol/dm3":            {parts{"HEPES": 20, "sodium chloride": 100, "potassium chloride": 2}, no, "", 0},
		"5 vol methanol, 1 vol acetic acid, 4 vol water":                      {parts{"methanol": 12350, "acetic acid": 1740}, no, "", 0},
		"1 M Tris 1 vol, 1 M HCl 0.5 vol, water 8.5 vol":                      {parts{"Tris": 100, "hydrochloric acid": 50}, no, "", 0},
		"2-propanol 20 vol.-%; formic acid 0.1 vol%":                          {parts{"2-propanol": 2620, "formic acid": 23.6}, no, "", 0},
		"10% acetic acid by volume":                                           {parts{"acetic acid": 1740}, no, "", 0},
		"Solution (mM): NaCl, 145; KCl, 5; HEPES, 10; CaCl2, 2; pH 7.4":       {parts{"sodium chloride": 145, "potassium chloride": 5, "HEPES": 10, "calcium chloride": 2}, 7.4, "", 0},
		"Tris-HCl, pH 7.5: 50 mM; NaCl: 150 mM; EDTA: 1 mM":                   {parts{"Tris": 50, "sodium chloride": 150, "EDTA disodium salt": 1}, 7.5, "HCl", 0},
		"Na2HPO4 (anhydrous, MW 141.96) 14.196 g":                             {parts{"disodium phosphate": 100}, no, "", 0},
		"NaHCO3 (84.01 g/mol) 8.401 g in 1 L":                                 {parts{"sodium hydrogen carbonate": 100}, no, "", 1},
		"KHCO3 1.0012 g NaHCO3 8.401 g pH 9.6 in 1 L":                         {parts{"potassium hydrogen carbonate": 10, "sodium hydrogen carbonate": 100}, 9.6, "", 1},
		"HEPES 50 mM, Mg(ClO4)2 5 mM, NaClO4 100 mM, pH 7.2":                  {parts{"HEPES": 50, "magnesium perchlorate": 5, "sodium perchlorate": 100}, 7.2, "", 0},
		"guanidine thiocyanate 4 M, sodium citrate 25 mM pH 7, sarkosyl 0.5%": {parts{"guanidine thiocyanate": 4000, "trisodium citrate": 25}, 7, "HCl", 0},
		"tryptone 1 %, HEPES 50 mM, pH 7.4":                                   {parts{"HEPES": 50}, 7.4, "", 0},
		"tryptone 1 %, HEPES 40 mM, pH 7.4":                                   {parts{"HEPES": 40}, 7.4, "", 0},
		"nitric acid 69.1 % 10 mL":                                            {parts{"nitric acid": 156}, no, "", 0},
		"10 g peptone; NaH2PO4 33 mM; Na2HPO4 67 mM; water to 1 L":            {parts{"monosodium phosphate": 33, "disodium phosphate": 67}, no, "", 1},
	} {
		want.isRead(t, text, 3e-3)
	}
}

// What would be read as another recipe is asked about: a stock by how far it is
// diluted, a reagent in a sentence that is passed over, a medium without a buffer.
func TestWhatIsToldOtherwiseIsAsked(t *testing.T) {
	for text, words := range map[string]string{
		"2 M MgCl2 (dilute 1:400), NaCl 0.15 M":              `"1:400" is a dilution`,
		"1:10 dilution of 500 mM HEPES":                      `"1:10" is a dilution`,
		"Glycerol was mixed in 20 mM Tris, pH 8":             "lycerol",
		"Sodium chloride was dissolved in 20 mM Tris, pH 8":  "odium chloride",
		"Zinc sulfate (heptahydrate) was used in 20 mM Tris": "inc sulfate",
		"tryptone 10 g; NaCl 10 g; pH 7.0 with NaOH":         "buffers by itself",
		"yeast extract 5 g/L, NaCl 5 g/L, Tris 50 mM, pH 5":  "buffers by itself",
		"tryptone 1 %, Tris 50 mM, pH 6.0":                   "buffers by itself", // 2.1 from its pK
		"NaCl 150 mM 8.42 g":                                 "8.77 g",            // 4 % off
		"HCl 38 % 10 mL":                                     "the density of hydrochloric acid of 38 %",
		"tryptone 1 %, HEPES 20 mM, pH 7.4":                  "buffers by itself", // a fifth of what the digest does (from memory)
		"glycerol 10 % w/w":                                  "how dense",
		"2 vol methanol, 1 vol unobtainium":                  "unobtainium",
	} {
		_, err := written.Read(text, chem.Litre)
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, text)
		assert.Contains(t, bad[0].What, words, text)
	}
}
