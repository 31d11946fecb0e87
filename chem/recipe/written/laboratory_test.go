package written_test

import (
	"math"
	"strings"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Lines as laboratories of proteins, nucleic acids, gels, cells and classes write them, in
// words of our own; amounts by hand from molar masses.
func TestReadsWhatLaboratoriesWrite(t *testing.T) {
	no := math.NaN()
	for text, want := range map[string]content{
		// What is poured together is the whole.
		"50 mL 0.2 M CH3COOH + 50 mL 0.2 M CH3COONa":                               {parts{"acetic acid": 10, "sodium acetate": 10}, no, "", 0.1},
		"25.0 cm3 of 0.100 mol dm-3 acetic acid + 12.5 cm3 of 0.100 mol dm-3 NaOH": {parts{"acetic acid": 2.5, "sodium hydroxide": 1.25}, no, "", 0.0375},
		"1 M phosphate buffer, pH 7.0: 61.5 mL 1 M K2HPO4 + 38.5 mL 1 M KH2PO4":    {parts{"dipotassium phosphate": 61.5, "monopotassium phosphate": 38.5}, 7, "", 0.1},
		"50 mL 0.1 M KH2PO4 + 29.1 mL 0.1 M NaOH, dilute to 100 mL":                {parts{"monopotassium phosphate": 5, "sodium hydroxide": 2.91}, no, "", 0.1},
		// What is left out of account is poured as well.
		"1.5 M NaCl 2.5 mL; 30 % acrylamide/bis 3.3 mL; 10 % SDS 0.1 mL; water 4.0 mL": {parts{"sodium chloride": 3.75, "SDS": 0.03468}, no, "", 0.0099},
		// The anion beside a base is its acid, and nothing is brought anywhere.
		"89 mM Tris, 89 mM borate, 2 mM EDTA pH 8.3": {parts{"Tris": 89, "boric acid": 89, "EDTA disodium salt": 2}, 8.3, "", 0},
		"Tris 40 mM; acetate 20 mM; pH 8.3":          {parts{"Tris": 40, "acetic acid": 20}, 8.3, "", 0},
		"20 mM Tris, 100 mM acetate, pH 8.0":         {parts{"Tris": 20, "sodium acetate": 100}, 8, "HCl", 0}, // more of it than of the base: a salt
		// A pH beside EDTA is that of its stock: it is there with two of its protons less than as the jar's.
		"0.2 M MOPS (pH 7.0), 20 mM NaCl, 10 mM EDTA (pH 8.0)": {parts{"MOPS": 200, "sodium chloride": 20, "EDTA disodium salt": 10, "sodium hydroxide": 9.8}, 7, "", 0},
		"10 mM EDTA (pH 8.0), 0.2 M MOPS (pH 7.0)":             {parts{"MOPS": 200, "EDTA disodium salt": 10, "sodium hydroxide": 9.8}, 7, "", 0},
		"0.5 M EDTA pH 8.0": {parts{"EDTA disodium salt": 500}, 8, "", 0},
		// The bottle that brings it there.
		"50 mM Bis-Tris, 6 N HCl, 50 mM NaCl, 0.001 % Ponceau S, pH 7.2": {parts{"Bis-Tris": 50, "sodium chloride": 50}, 7.2, "HCl", 0},
		"50 mM Bis-Tris, 1.2 M HCl, pH 6.5":                              {parts{"Bis-Tris": 50}, 6.5, "HCl", 0},
		"50 mM citric acid, 0.8 M NaOH, pH 12.9":                         {parts{"citric acid": 50, "sodium hydroxide": 800}, 12.9, "", 0}, // so much can be in it
		"2 M NaOH":                                                       {parts{"sodium hydroxide": 2000}, no, "", 0},
		"20 mM piperazine-HCl pH 5.5":                                    {parts{"piperazine": 20}, 5.5, "HCl", 0},
		// A salt beside its own acid, of which there are several.
		"23 mL of 0.1 M citric acid + 27 mL of 0.1 M sodium citrate, to 100 mL; pH 4.8": {parts{"citric acid": 2.3, "trisodium citrate": 2.7}, 4.8, "", 0.1},
		"25 mL of 0.1 M NaOH added to 50 mL of 0.1 M acetic acid":                       {parts{"sodium hydroxide": 2.5, "acetic acid": 5}, no, "", 0.075},
		"1 mol dm-3 HCl 10 cm3 diluted to 100 cm3":                                      {parts{"hydrochloric acid": 10}, no, "", 0.1},
		"0.50 mol CH3COOH and 0.30 mol NaOH in 1.0 dm3":                                 {parts{"acetic acid": 500, "sodium hydroxide": 300}, no, "", 1},
		"0.2 M ammonium acetate, 0.1 M trisodium citrate pH 5.6":                        {parts{"ammonium acetate": 200, "trisodium citrate": 100}, 5.6, "", 0}, // by which acid is not said
		// Words.
		"20 mM d11-Tris pH 7.0, 5 mM DTT-d10, 10 % D2O":                           {parts{"Tris": 20, "DTT": 5}, 7, "", 0},
		"250 mM sucrose-10 mM Tris-1 mM EDTA (pH 7.4)":                            {parts{"sucrose": 250, "Tris": 10, "EDTA disodium salt": 1}, 7.4, "", 0},
		"0.25 M sucrose/10 mM HEPES, pH 7.4 (STE)":                                {parts{"sucrose": 250, "HEPES": 10}, 7.4, "", 0},
		"10 mM HEPES, pH 7.4 (KOH)":                                               {parts{"HEPES": 10}, 7.4, "KOH", 0},
		"80 mM PIPES pH 6.8, 1 mM EGTA, 1 mM MgCl2 (KOH)":                         {parts{"PIPES": 80, "EGTA": 1, "magnesium chloride": 1}, 6.8, "KOH", 0},
		"20 mM Tris pH 8.0, 0.1 % DEPC":                                           {parts{"Tris": 20}, 8, "", 0},
		"0.1 M PB, pH 7.4, 0.2 mM NADPH":                                          {parts{"monosodium phosphate": 100}, 7.4, "NaOH", 0},
		"67 mM Sørensen buffer pH 6.8":                                            {parts{"monosodium phosphate": 67}, 6.8, "NaOH", 0},
		"Veronal buffer 0.05 M pH 8.6":                                            {parts{"barbital": 50}, 8.6, "NaOH", 0},
		"ethanoic acid 0.10 mol dm-3, sodium ethanoate 0.15 mol dm-3":             {parts{"acetic acid": 100, "sodium acetate": 150}, no, "", 0},
		"mM: 118 NaCl; 4.7 KCl; 10 HEPES; pH 7.4":                                 {parts{"sodium chloride": 118, "potassium chloride": 4.7, "HEPES": 10}, 7.4, "", 0},
		"MOPS 10 mM, KCl 100 mM, K-EGTA 10 mM, pH 7.20":                           {parts{"MOPS": 10, "potassium chloride": 100, "EGTA": 10}, 7.2, "KOH", 0},
		"10 mM HEPES-Tris pH 7.4, 100 mM KCl":                                     {parts{"HEPES": 10, "potassium chloride": 100}, 7.4, "Tris", 0},
		"20 mM HEPES-K pH 7.9, 300 mM KCl":                                        {parts{"HEPES": 20, "potassium chloride": 300}, 7.9, "KOH", 0},
		"NaCl 125; KCl 8; CaCl2 1; HEPES 10 mM (pH 7.2, KOH)":                     {parts{"sodium chloride": 125, "potassium chloride": 8, "calcium chloride": 1, "HEPES": 10}, 7.2, "KOH", 0},
		"0.1 M Tris-HCl buffer pH 8.5 (25C), 0.5 % LiDS":                          {parts{"Tris": 100, "lithium dodecyl sulfate": 18.36}, 8.5, "HCl", 0},
		"36.3 g Tris base, 48 mL 1 N HCl, to 100 mL (pH 8.9)":                     {parts{"Tris": 299.65, "hydrochloric acid": 48}, 8.9, "", 0.1},
		"10 mM ammonium acetate pH 4.5 adjusted with acetic acid":                 {parts{"ammonium acetate": 10}, 4.5, "acetic acid", 0},
		"Gel filtration buffer 10 mM HEPES 7.5, 100 mM NaCl":                      {parts{"HEPES": 10, "sodium chloride": 100}, 7.5, "", 0},
		"tampon acétate 50 mM pH 4,5 avec 0,1 M NaCl":                             {parts{"acetic acid": 50, "sodium chloride": 100}, 4.5, "NaOH", 0},
		"phosphate buffer 50 mM pH 7.0, NaCl 100 mM":                              {parts{"monosodium phosphate": 50, "sodium chloride": 100}, 7, "NaOH", 0},
		"10 mM Tris-HCl (pH 8.0), 5 M NaCl to 150 mM":                             {parts{"Tris": 10, "sodium chloride": 150}, 8, "HCl", 0},
		"14.8 mL 0.2 M acetic acid, 35.2 mL 0.2 M sodium acetate, dil. to 100 mL": {parts{"acetic acid": 2.96, "sodium acetate": 7.04}, no, "", 0.1},
		"20 mM MES pH 5.7, 1.5 % cellulase":                                       {parts{"MES": 20}, 5.7, "", 0},
		"0.5X TBS (10 mM Tris, 75 mM NaCl, pH 7.5)":                               {parts{"Tris": 10, "sodium chloride": 75}, 7.5, "", 0},
		"10 mM Tris, 100 mM NaCl; titrate to 8.0 with conc. HCl":                  {parts{"Tris": 10, "sodium chloride": 100}, 8, "HCl", 0},
		"NaCl, 150 mM; Tris-HCl, 20 mM; pH, 7.5":                                  {parts{"sodium chloride": 150, "Tris": 20}, 7.5, "HCl", 0},
		"80 mM K-PIPES, 1 mM MgCl2, pH 6.8 (BRB80)":                               {parts{"PIPES": 80, "magnesium chloride": 1}, 6.8, "KOH", 0},
		"50 mM HEPES, 2 % SDS, trace bromophenol blue":                            {parts{"HEPES": 50, "SDS": 69.36}, no, "", 0},
		"15 mM Bis-Tris, 50 mM Tricine, 0.02 % Coomassie G-250":                   {parts{"Bis-Tris": 15, "Tricine": 50}, no, "", 0},
		"97 mL diethanolamine, 1 L, pH 9.8 with 10 M HCl":                         {parts{"diethanolamine": 1012}, 9.8, "HCl", 1}, // 1.097 g/mL, 105.14 g/mol
		"50 mM phosphate buffer (pH 7.8) containing 13 mM methionine":             {parts{"monosodium phosphate": 50, "L-methionine": 13}, 7.8, "NaOH", 0},
		"10 HEPES, 0.4 Na3GTP, 8 KMeSO3 (mM), pH 7.25 with CsOH":                  {parts{"HEPES": 10, "GTP trisodium salt": 0.4, "potassium methanesulfonate": 8}, 7.25, "CsOH", 0},
		"Lösung: 20 mM HEPES, bis 500 mL":                                         {parts{"HEPES": 10}, no, "", 0.5},
	} {
		want.isRead(t, text, 0.004)
	}
}

// A name that is brought to a pH, where none is said, is asked about: Tris acetate as a salt
// is half acid and reads 6.3, the buffer for gels 8.3.
func TestWhatIsBroughtToNoPHIsAsked(t *testing.T) {
	for text, words := range map[string]string{
		"40 mM Tris-acetate, 1 mM EDTA": `"Tris-acetate" is as a rule Tris brought to a pH with acetic acid`,
		"50 mM HEPES-KOH, 150 mM KCl":   `"HEPES-KOH" is as a rule HEPES brought to a pH with KOH`,
	} {
		_, err := written.Read(text, chem.Litre)
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, text)
		assert.Contains(t, bad[0].What, words, text)
	}
	for _, text := range []string{"Tris acetate 1.81 g in 1 L", "50 mM Tris-acetate pH 8.0", "100 mM sodium acetate", "20 mM ammonium acetate"} {
		_, err := written.Read(text, chem.Litre)
		assert.NoError(t, err, text)
	}
	r, err := written.Read("50 mM Tris-HCl, 150 mM NaCl", chem.Litre)
	require.NoError(t, err)
	assert.Contains(t, strings.Join(r.Notes, "\n"), "is taken as the salt")
}

// Jars by their labels, the words set apart by commas; a pH with a raised point; ions that
// come with another.
func TestJarsByTheirLabels(t *testing.T) {
	for text, want := range map[string]parts{
		"Sodium Phosphate, Dibasic, Heptahydrate 20.209 g; Sodium Phosphate, Monobasic, Monohydrate 3.394 g": {"disodium phosphate": 75.39, "monosodium phosphate": 24.59},
		"potassium phosphate, dibasic, anhydrous 8.709 g, EDTA, disodium salt, dihydrate 0.3722 g":           {"dipotassium phosphate": 50, "EDTA disodium salt": 1},
		"Citric acid, anhydrous 9.606 g, sodium citrate, tribasic, dihydrate 14.705 g":                       {"citric acid": 50, "trisodium citrate": 50},
		"HEPES, free acid 4.766 g": {"HEPES": 20},
	} {
		want.areRead(t, text, 2e-3)
	}
	r, err := written.Read("Tris 50 mM, pH 7·5", chem.Litre)
	require.NoError(t, err)
	assert.Equal(t, 7.5, r.PH)
	_, err = written.Read("20 mM HEPES, 2 mM Ca2+", chem.Litre)
	assert.ErrorContains(t, err, "comes with another")
}

// Sentences as collections of protocols have them.
func TestSentencesOfProtocols(t *testing.T) {
	for text, want := range map[string]struct {
		parts   parts
		ph      float64
		titrant string
	}{
		"Dissolve 121.1 g of Tris base in 800 ml of H2O. Adjust the pH to 8.0 by adding 42 ml of concentrated HCl. Adjust the volume to 1 L with H2O.":                         {parts{"Tris": 999.7}, 8, "HCl"},
		"Add 186.1 g of disodium EDTA•2H2O to 800 ml of H2O. Stir vigorously. Adjust the pH to 8.0 with NaOH (~20 g of NaOH pellets). Make up to 1 L.":                         {parts{"EDTA disodium salt": 500}, 8, "NaOH"},
		"Dissolve 175.3 g of NaCl and 27.6 g of NaH2PO4·H2O in 800 ml of H2O. Adjust the pH to 7.4 with NaOH (~6.5 ml of a 10 N solution). Adjust volume to 1 liter with H2O.": {parts{"sodium chloride": 3000, "monosodium phosphate": 200}, 7.4, "NaOH"},
		"Cells were lysed in 50 mM HEPES (pH 7.5), 10 mM glycerol 2-phosphate, 0.1 mM sodium vanadate.":                                                                        {parts{"HEPES": 50, "disodium glycerol 2-phosphate": 10, "sodium orthovanadate": 0.1}, 7.5, ""},
	} {
		want.parts.areRead(t, text, 2e-3)
		r, err := written.Read(text, 0.1)
		require.NoError(t, err, text)
		assert.Equal(t, want.ph, r.PH, text)
		assert.Contains(t, []string{want.titrant, "concentrated " + want.titrant}, r.Titrant, text)
		if want.titrant != "" {
			assert.Equal(t, chem.Litre, r.Volume, text)
		}
	}
}
