package written_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written"
	"example.org/halfdrop/chem/table"
)

// Recipes as notebooks and protocols have them: mmol of what stands in a litre,
// the pH and what brings it there. The shapes are common practice, without a source.
func TestReadsNotebooks(t *testing.T) {
	no := math.NaN()
	for text, want := range map[string]content{
		"50 mM Tris/150 mM NaCl/pH 8.0":                                                                         {parts{"Tris": 50, "sodium chloride": 150}, 8, "", 0},
		"sucrose 34.23 g/100 mL, 50 mM Tris pH 8":                                                               {parts{"sucrose": 1000, "Tris": 50}, 8, "", 0},
		"50 mM HEPES, pH adjusted to 7.4 with KOH, 100 mM potassium glutamate":                                  {parts{"HEPES": 50, "potassium glutamate": 100}, 7.4, "KOH", 0},
		"mix 500 ml 0.1 M KH2PO4 with 291 ml 0.1 M NaOH, dilute to 1 L":                                         {parts{"monopotassium phosphate": 50, "sodium hydroxide": 29.1}, no, "", 1},
		"1 L 10X TBS: 24.228 g Tris base, 87.66 g NaCl, pH to 7.6 w/ HCl":                                       {parts{"Tris": 200, "sodium chloride": 1500}, 7.6, "HCl", 1},
		"TBS (2 L): 24.228 g Tris base, pH 7.6, 5 mM β-ME":                                                      {parts{"Tris": 200, "2-mercaptoethanol": 10}, 7.6, "", 2},
		"50 mM NaCl, 10 mM Tris-HCl, 10 mM MgCl2 (pH 7.9 @ 25C)":                                                {parts{"sodium chloride": 50, "Tris": 10, "magnesium chloride": 10}, 7.9, "HCl", 0},
		"75 mM KCl, 50 mM Tris HCl (pH 8.3 at 25 ºC)":                                                           {parts{"potassium chloride": 75, "Tris": 50}, 8.3, "HCl", 0},
		"add 50 mL 1 M Tris and 30 mL 5 M NaCl to 920 mL water":                                                 {parts{"Tris": 50, "sodium chloride": 150}, no, "", 1},
		"20 mM tris hcl ph 7.4 100mm nacl":                                                                      {parts{"Tris": 20, "sodium chloride": 100}, 7.4, "HCl", 0},
		"Tris 20, NaCl 100, pH 8 (mM)":                                                                          {parts{"Tris": 20, "sodium chloride": 100}, 8, "", 0},
		"Tris (20 mM), NaCl (150 mM), pH (7.5)":                                                                 {parts{"Tris": 20, "sodium chloride": 150}, 7.5, "", 0},
		"100 mM Na-citrate/citric acid pH 5.6":                                                                  {parts{"citric acid": 100}, 5.6, "NaOH", 0},
		"1 M Tris (50 mL); 5 M NaCl (30 mL); ddH2O (920 mL)":                                                    {parts{"Tris": 50, "sodium chloride": 150}, no, "", 1},
		"25 % ammonia 100 mL, water to 1 L":                                                                     {parts{"ammonia": 1340}, no, "", 1},
		"2 mM Mg sulfate, 3 mM Ca chloride, 5 mM Li acetate, 10 mM oxalate pH 4":                                {parts{"magnesium sulfate": 2, "calcium chloride": 3, "lithium acetate": 5, "oxalic acid": 10}, 4, "NaOH", 0},
		"20 mM HEPES 7.4, 140 mM NaCl":                                                                          {parts{"HEPES": 20, "sodium chloride": 140}, 7.4, "", 0},
		"Tris 12.114 g, adjust to pH 8.0 with about 56 mL of 1 M HCl, water to 1 L":                             {parts{"Tris": 100, "hydrochloric acid": 56}, 8, "", 1},
		"20mM Tris-Cl pH 8,1mM EDTA":                                                                            {parts{"Tris": 20, "EDTA disodium salt": 1}, 8, "HCl", 0},
		"100 mM HEPES-NaOH, pH 7.5 (RT)":                                                                        {parts{"HEPES": 100}, 7.5, "NaOH", 0},
		"0.05 M Tris-HCl pH 8.0 (at room temperature), 0.5 M L-Arg-HCl, 10% MeOH, 0.01 % LMNG":                  {parts{"Tris": 50, "L-arginine hydrochloride": 500, "methanol": 2470}, 8, "HCl", 0},
		"20mM Tris-HCl pH7.5,150mM NaCl,2mM CaCl2,0.01%NaN3":                                                    {parts{"Tris": 20, "sodium chloride": 150, "calcium chloride": 2, "sodium azide": 1.538}, 7.5, "HCl", 0},
		"Tris base | 6.057 g\nNaCl | 5.844 g\nwater | to 1 L":                                                   {parts{"Tris": 50, "sodium chloride": 100}, no, "", 1},
		"Component | Amount\n--- | ---\nTris base | 6.057 g\nwater | to 1 L":                                    {parts{"Tris": 50}, no, "", 1},
		"Tris base\t6.057 g\nWater\tto 1 L":                                                                     {parts{"Tris": 50}, no, "", 1},
		"137 mM NaCl, 8 mM Na2HPO4, and 2 mM KH2PO4":                                                            {parts{"sodium chloride": 137, "disodium phosphate": 8, "monopotassium phosphate": 2}, no, "", 0},
		"500 mL 0.2 M K2HPO4, 500 mL 0.2 M KH2PO4, dilute to 1 L":                                               {parts{"dipotassium phosphate": 100, "monopotassium phosphate": 100}, no, "", 1},
		"40 mM HEPES/KOH, pH 7.9; 2 mM EGTA/KOH; 1 tablet protease inhibitor":                                   {parts{"HEPES": 40, "EGTA": 2}, 7.9, "KOH", 0},
		"30 mM MOPS, KOH ad pH 7.2, 10 mM RbCl":                                                                 {parts{"MOPS": 30, "rubidium chloride": 10}, 7.2, "KOH", 0},
		"~6.057 g Tris, ca. 2 g NaOH pellets, H2O to 1 L":                                                       {parts{"Tris": 50, "sodium hydroxide": 50}, no, "", 1},
		"Tris 6.057 g dissolve in 800 ml H2O, adjust pH to 7.5 with conc. HCl, bring to 1000 ml":                {parts{"Tris": 50}, 7.5, "HCl", 1},
		"1.5 M Tris-HCl pH 8.8: 181.7 g Tris base / 1 L":                                                        {parts{"Tris": 1500}, 8.8, "HCl", 1},
		"0.1% (v/v) TFA in water":                                                                               {parts{"trifluoroacetic acid": 13.5}, no, "", 0},
		"126 NaCl, 26 NaHCO3, 2 CaCl2, 10 glucose (in mM)":                                                      {parts{"sodium chloride": 126, "sodium hydrogen carbonate": 26, "calcium chloride": 2, "glucose": 10}, no, "", 0},
		"in mM: 130 K-gluconate, 10 HEPES, 0.3 Na-GTP, 1 EGTA, pH 7.3":                                          {parts{"potassium gluconate": 130, "HEPES": 10, "GTP disodium salt": 0.3, "EGTA": 1}, 7.3, "", 0},
		"50 mM NaPi 7.4, 100 mM NaCl":                                                                           {parts{"monosodium phosphate": 50, "sodium chloride": 100}, 7.4, "NaOH", 0},
		"Tris 50mM; MgSO4x7H2O 0.2465g; pH~7.5; vol 1000ml":                                                     {parts{"Tris": 50, "magnesium sulfate": 1}, 7.5, "", 1},
		"sucrose 0.25M, HEPES 10mM, EGTA 0.1 mM (pH 7.4, KOH)":                                                  {parts{"sucrose": 250, "HEPES": 10, "EGTA": 0.1}, 7.4, "KOH", 0},
		"1 mM K2HPO4/KH2PO4 pH 7.0":                                                                             {parts{"monopotassium phosphate": 1}, 7, "KOH", 0},
		"0.3 M sodium citrate, pH 7.0":                                                                          {parts{"trisodium citrate": 300}, 7, "HCl", 0},
		"100 mM sodium acetate pH 5.2":                                                                          {parts{"acetic acid": 100}, 5.2, "NaOH", 0},
		"50 mM sodium citrate pH 5.5":                                                                           {parts{"citric acid": 50}, 5.5, "NaOH", 0},
		"0.3 M sodium acetate, pH 5.2 (with glacial acetic acid)":                                               {parts{"sodium acetate": 300}, 5.2, "acetic acid", 0},
		"6 M Gdn-HCl; NP-40 1 %":                                                                                {parts{"guanidine hydrochloride": 6000, "octoxynol-9": 10650}, no, "", 0},
		"Make 1 L of 20 mM HEPES pH 7.5, 100 mM NaCl":                                                           {parts{"HEPES": 20, "sodium chloride": 100}, 7.5, "", 1},
		"For 2000 ml: Tris base 12.114 g, adjust to pH 8 with conc HCl":                                         {parts{"Tris": 100}, 8, "HCl", 2},
		"Dissolve 6.057 g Tris in 900 ml water. Adjust pH to 8.0 with HCl. Make up to 1 L.":                     {parts{"Tris": 50}, 8, "HCl", 1},
		"Weigh 2.383 g HEPES and 5.844 g NaCl, dissolve in 900 mL MilliQ, pH 7.4 with 1 M NaOH, fill up to 1 L": {parts{"HEPES": 10, "sodium chloride": 100}, 7.4, "NaOH", 1},
		"Add 50 mL of 1 M Tris and 30 mL of 5 M NaCl to 800 mL water, bring to 1 L":                             {parts{"Tris": 50, "sodium chloride": 150}, no, "", 1},
		"Tris 6.057 g to 1 L water":                                                                             {parts{"Tris": 50}, no, "", 1},
		"Tris 6.057 g\nto 1 L water":                                                                            {parts{"Tris": 50}, no, "", 1},
		"Tris 1 M - 50 ml; H2O - up to 1 l":                                                                     {parts{"Tris": 50}, no, "", 1},
		"10 mM Tris-HCl, pH 7.4, containing 0.1 mM EDTA and 1 mM DTT":                                           {parts{"Tris": 10, "EDTA disodium salt": 0.1, "DTT": 1}, 7.4, "HCl", 0},
		"1 mM MgCl2 0.5 mM CaCl2 in 20 mM Tris-HCl pH 7.5":                                                      {parts{"magnesium chloride": 1, "calcium chloride": 0.5, "Tris": 20}, 7.5, "HCl", 0},
		"100 mM Tris, 100mM boric acid; do not adjust; filter and store at 4 °C":                                {parts{"Tris": 100, "boric acid": 100}, no, "", 0},
		"MOPS 0.2 M, NaOAc 50 mM, pH 7.0 with NaOH":                                                             {parts{"MOPS": 200, "sodium acetate": 50}, 7, "NaOH", 0},
		"100 mM potassium phosphate pH 6.5: 27.8 mL 1 M K2HPO4 + 72.2 mL 1 M KH2PO4, to 1 L":                    {parts{"dipotassium phosphate": 27.8, "monopotassium phosphate": 72.2}, 6.5, "", 1},
		"50 mM Tris HCl 7.5, 5 mM MgCl2":                                                                        {parts{"Tris": 50, "magnesium chloride": 5}, 7.5, "HCl", 0},
		"100mM HEPES pH7.3 200mM NaCl 10mM MgCl2":                                                               {parts{"HEPES": 100, "sodium chloride": 200, "magnesium chloride": 10}, 7.3, "", 0},
		"HEPES 50 mM pH 7.5 NaCl 500 mM glycerol 5%":                                                            {parts{"HEPES": 50, "sodium chloride": 500, "glycerol": 684.6}, 7.5, "", 0},
		"Tris 20 mmol/L - NaCl 100 mmol/L - pH 7,4":                                                             {parts{"Tris": 20, "sodium chloride": 100}, 7.4, "", 0},
		"Tris:50mM NaCl:150mM pH:7.4":                                                                           {parts{"Tris": 50, "sodium chloride": 150}, 7.4, "", 0},
		"Tris=50 mM, NaCl=150 mM, pH=7.4":                                                                       {parts{"Tris": 50, "sodium chloride": 150}, 7.4, "", 0},
		"50mM-Tris, 150mM-NaCl, pH 7.4":                                                                         {parts{"Tris": 50, "sodium chloride": 150}, 7.4, "", 0},
		"(a) 50 mM MES; (b) 5 mM MgCl2; (c) pH 6.5":                                                             {parts{"MES": 50, "magnesium chloride": 5}, 6.5, "", 0},
		"1) Tris 6.057 g\n2. NaCl 5.844 g\n3) adjust to pH 7.6 with HCl\n4) top up to 1 l":                      {parts{"Tris": 50, "sodium chloride": 100}, 7.6, "HCl", 1},
		"Tris ..... 6.057 g\nHCl ..... to pH 7.6\nwater ..... to 1 L":                                           {parts{"Tris": 50}, 7.6, "HCl", 1},
		"NaCl 5.844 g, aqua dest. ad 1000 ml":                                                                   {parts{"sodium chloride": 100}, no, "", 1},
		"1x TBST (20 mM Tris, 150 mM NaCl, pH 7.6)":                                                             {parts{"Tris": 20, "sodium chloride": 150}, 7.6, "", 0},
		"50 mM NaH2PO4 (6.90 g NaH2PO4·H2O), 10 mM imidazole (0.68 g)":                                          {parts{"monosodium phosphate": 50, "imidazole": 10}, no, "", 0},
		"50 mM KH2PO4, adjust to pH 7.0 with KOH (approx 29 mL 1 M KOH)":                                        {parts{"monopotassium phosphate": 50}, 7, "KOH", 0},
		"100 mM citric acid (McIlvaine); 10 µg/mL aprotinin; 0.2 mM dNTPs":                                      {parts{"citric acid": 100}, no, "", 0},
		"NaH2PO4 (monobasic, monohydrate) 2.76 g, Na2HPO4 (dibasic, anhydrous) 2.839 g, water to 1 L":           {parts{"monosodium phosphate": 20, "disodium phosphate": 20}, no, "", 1},
		"50 mM Tris-HCl pH 7.5 (50 mL of 1 M), water to 1 L":                                                    {parts{"Tris": 50, "hydrochloric acid": 43.3}, no, "", 1},
		"HEPES 10 mM (NaOH, pH 7.4)":                                                                            {parts{"HEPES": 10}, 7.4, "NaOH", 0},
		"20 mM sodium acetate buffer pH 4.0 (acetic acid)":                                                      {parts{"sodium acetate": 20}, 4, "acetic acid", 0},
		"Tris 0.6057 g; H2O 80 mL; HCl until pH 7.5; H2O to 100 mL":                                             {parts{"Tris": 5}, 7.5, "HCl", 0.1},
		"Tris 12.114 g, NaCl 5.844 g, eau qsp 1 L":                                                              {parts{"Tris": 100, "sodium chloride": 100}, no, "", 1},
		"NaCl 5.844 g/l; HCl q.s. pH 7,4; Tris 12.114 g/l":                                                      {parts{"Tris": 100, "sodium chloride": 100}, 7.4, "HCl", 0},
		"KH2PO4 13.61 g; H2O 1000 g":                                                                            {parts{"monopotassium phosphate": 100}, no, "", 1},
		"50 mM carbonate-bicarbonate buffer pH 9.6":                                                             {parts{"sodium hydrogen carbonate": 50}, 9.6, "NaOH", 0},
	} {
		want.isRead(t, text, 2e-3)
	}
}

// A pH in the brackets or behind the comma of a stock is that of the stock.
func TestThePHOfAStock(t *testing.T) {
	for _, text := range []string{
		"Tris-HCl (1 M, pH 8.0) 50 mL; NaCl (5 M) 30 mL; H2O to 1000 mL",
		"50 mL of 1M Tris-HCl, pH 8.0, 30 mL of 5M NaCl + water up to 1L",
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.True(t, math.IsNaN(r.PH), text)
		require.Len(t, r.Parts, 3, text)
		assert.InDelta(t, 50, r.Parts[0].Amount.Millimoles(), 1e-9)
		assert.InDelta(t, 30, r.Parts[1].Amount.Millimoles(), 4, "half of it and some: %s", text)
		assert.Equal(t, "hydrochloric acid", r.Parts[1].Reagent.Name)
		assert.InDelta(t, 150, r.Parts[2].Amount.Millimoles(), 1e-9)
	}
	// So strong a stock of EDTA is one of pH 8, and brings a mole of base: about
	// 20 g of NaOH in a litre of 0.5 M (common practice, no source).
	r, err := written.Read("0.5 M EDTA 2 mL; Tris 10 mM; pH 8", chem.Litre)
	require.NoError(t, err)
	require.Len(t, r.Parts, 3)
	assert.Equal(t, "sodium hydroxide", r.Parts[1].Reagent.Name)
	assert.InDelta(t, 1, r.Parts[1].Amount.Millimoles(), 0.1)
	assert.False(t, r.ItsOwn(), "Tris is still to be brought to pH 8")
}

// Water without "to": the round figure is the volume.
func TestHowMuchWater(t *testing.T) {
	for text, ml := range map[string]float64{
		"1 M Tris 5 mL, 5 M NaCl 3 mL, 50% glycerol 20 mL, water 72 mL": 100,
		"1 M Tris 5 mL, 5 M NaCl 3 mL, water 100 mL":                    100,
		"1 M Tris 500 mL, 5 M NaCl 300 mL, water 200 mL":                1000,
		"NaCl 8 g, KCl 0.2 g, 1 L H2O":                                  1000,
		"Tris 6 g; water 800 mL; water to 1 L":                          1000,
	} {
		r, err := written.Read(text, chem.Litre)
		require.NoError(t, err, text)
		assert.InDelta(t, ml, r.Volume.Millilitres(), 1e-6, text)
	}
	_, err := written.Read("1 M Tris 50 mL, water 100 mL", chem.Litre)
	var bad recipe.Problems
	require.NoError(t, err, "100 is rounder than 150")
	_, err = written.Read("1 M Tris 30 mL, water 60 mL", chem.Litre)
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad[0].What, "or made up to 60 mL?")
	assert.Contains(t, bad.Hints()[0], "water to 90 mL")
	odd, err := written.Read("5 mL 1 M Tris, 3 mL 5 M NaCl, to 92 mL water", chem.Litre)
	require.NoError(t, err)
	assert.InDelta(t, 0.092, float64(odd.Volume), 1e-9)
	assert.Contains(t, strings.Join(odd.Notes, " "), "100 mL in all", "an odd volume is asked about")
	round, err := written.Read("5 mL 1 M Tris, 3 mL 5 M NaCl, to 100 mL water", chem.Litre)
	require.NoError(t, err)
	assert.Empty(t, round.Notes)
}

// A thiol is no titrant: beside it a buffer is still brought to its pH.
func TestAThiolBringsNothing(t *testing.T) {
	r, err := written.Read("20 mM Tris pH 8.0, 5 mM 2-mercaptoethanol", chem.Litre)
	require.NoError(t, err)
	assert.False(t, r.ItsOwn())
}

// What is left out of account is said.
func TestWhatIsLeftOutIsSaid(t *testing.T) {
	r, err := written.Read("20 mM Tris, 10 µg/mL aprotinin, 1 tablet protease inhibitor", chem.Litre)
	require.NoError(t, err)
	require.Len(t, r.Parts, 1)
	require.Len(t, r.Notes, 2)
	assert.Contains(t, r.Notes[0], "aprotinin\" is left out of account")
	_, err = written.Read("20 mM Tris, 10 µg/mL aprotinine", chem.Litre)
	assert.Error(t, err, "a name that is in no list is asked about")
}

// The question which hydrate is meant says what each would be.
func TestTheQuestionOfTheHydrateHelps(t *testing.T) {
	_, err := written.Read("Na2HPO4 14.4 g, KH2PO4 2.4 g, water to 1 L", 2)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	require.Len(t, bad, 1)
	assert.Contains(t, bad.Hints()[0], "disodium phosphate anhydrous (101 mM)") // 14.4 g / 141.96 g/mol
	assert.Contains(t, bad.Hints()[0], "dodecahydrate (40.2 mM)")               // 358.14 g/mol
}

// Tables give a thing in several ways; they are checked against one another.
func TestColumnsAreCheckedAgainstOneAnother(t *testing.T) {
	r, err := written.Read("Tris pH 8.0 | 1 M | 50 mM | 50 mL\nNaCl | 5 M | 150 mM | 30 mL\nwater | to 1000 mL", chem.Litre)
	require.NoError(t, err)
	require.Len(t, r.Parts, 3)
	assert.InDelta(t, 50, r.Parts[0].Amount.Millimoles(), 1e-9)
	assert.InDelta(t, 150, r.Parts[2].Amount.Millimoles(), 1e-9)
	r, err = written.Read("Na2HPO4 10 mM 2.68 g; NaCl | 137 mM | 8.0 g; water to 1 L", chem.Litre)
	require.NoError(t, err)
	require.Len(t, r.Parts, 2)
	assert.Equal(t, "heptahydrate", r.Parts[0].Reagent.Form) // 268.1 g/mol
	var bad recipe.Problems
	_, err = written.Read("NaCl | 5 M | 150 mM | 20 mL; water to 1 L", chem.Litre)
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad[0].What, "20 mL of 5 M in 1000 mL is 100 mM, not 150 mM")
	_, err = written.Read("NaCl 150 mM 5.84 g; water to 1 L", chem.Litre)
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad[0].What, "is 8.77 g of sodium chloride, not 5.84 g")
	_, err = written.Read("NaCl 150 mM 9.0 g; water to 1 L", chem.Litre)
	assert.NoError(t, err, "8.77 g, rounded")
	r, err = written.Read("NaCl 8.77 g/L (150 mM)", chem.Litre)
	require.NoError(t, err)
	assert.InDelta(t, 150, r.Parts[0].Amount.Millimoles(), 0.1)
	_, err = written.Read("NaCl 150 mM 9.2 g; water to 1 L", chem.Litre)
	assert.Error(t, err, "a twentieth is no rounding")
	r, err = written.Read("NaCl 100 mM, Ca 2 mM", chem.Litre)
	if err == nil {
		assert.Len(t, r.Parts, 2, "calcium is no circa")
	}
}

// What may be another jar is asked about, and a row of a table without a figure too.
func TestWhatIsNotUnderstoodIsAsked(t *testing.T) {
	for _, text := range []string{"20 mM MES-NaOH pH 5.5-6.5", "20 mM Tris pH 7.5 or 8.0", "Buffer A: 20 mM Tris pH 8. Buffer B: 20 mM Tris pH 8, 1 M NaCl", "EDTA (acid form) 10 mM", "Name | Amount\nTris | 50 mM\nNaOH | as needed", "Tris (hydrochl.) 50 mM"} {
		_, err := written.Read(text, chem.Litre)
		assert.Error(t, err, text)
	}
}

// A list without units says what would do.
func TestFiguresWithoutUnits(t *testing.T) {
	_, err := written.Read("HEPES 20 mM, 140 NaCl, 5 KCl", chem.Litre)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, bad[0].What, "140 of what?")
	assert.Contains(t, bad.Hints()[0], "in mM:")
}

// A mixture by its letters is a question whose answer can be copied.
func TestAMixtureByItsLetters(t *testing.T) {
	for text, parts := range map[string]int{"1x PBS": 4, "0.5x TBE": 3, "TAE": 3, "0.01 M PBS": 4, "100 mL 10x TBS; water to 1 L": 2, "TE buffer": 2, "2x SSC": 2, "4 % PFA in PBS": 4, "TBS": 2, "HBS": 2, "MBS": 2, "PBST": 5, "TBST": 3,
		"DPBS": 4, "HBSS": 8, "Tris-buffered saline": 2, "Tris buffered saline": 2, "HEPES-buffered saline": 2, "DMEM": 7} {
		_, err := written.Read(text, chem.Litre)
		var bad recipe.Problems
		require.ErrorAs(t, err, &bad, text)
		assert.Contains(t, bad[0].What, "is a mixture")
		_, hint, _ := strings.Cut(bad.Hints()[0], "as in ")
		r, err := written.Read(strings.Trim(hint, `"`), chem.Litre)
		require.NoError(t, err, hint)
		assert.Len(t, r.Parts, parts, hint)
	}
}

// What a buffer is asked by, a recipe is: both know the same names.
func TestRecipesAndBuffersKnowTheSameMixtures(t *testing.T) {
	n := 0
	for _, m := range buffer.Mixtures {
		for _, name := range append(m.Letters, m.Words) {
			if name == "" {
				continue
			}
			n++
			var bad recipe.Problems
			_, err := written.Read(name, chem.Litre)
			require.ErrorAs(t, err, &bad, name)
			assert.Contains(t, bad[0].What, "is a mixture", name)
			d := buffer.NewDemand(7.4)
			d.Buffer = name
			_, err = buffer.Rank(d)
			require.ErrorAs(t, err, &bad, name)
			assert.Contains(t, bad[0].What, "is a mixture", name)
		}
	}
	assert.Greater(t, n, 18)
}

// Of a recipe that somebody else has written, formic acid brings ammonium formate
// to pH 3: a molar ratio of 10^(3.75-3), and some for the coefficients.
func TestAWeakAcidThatIsNamed(t *testing.T) {
	r, err := written.Read("10 mM ammonium formate pH 3.0 with formic acid", chem.Litre)
	require.NoError(t, err)
	d := buffer.NewDemand(r.PH)
	d.Acid, d.Volume = r.Titrant, chem.Litre
	var list []table.Reagent
	var s chem.Solution
	for _, p := range r.Parts {
		list = append(list, p.Reagent)
		s = chem.Mix(s, p.Reagent.Dissolved(p.Amount))
	}
	e, err := buffer.Examine(d, s, list)
	require.NoError(t, err)
	require.NoError(t, e.FixErr)
	assert.Equal(t, "formic acid", e.FixWith.Name)
	assert.InDelta(t, 10*math.Pow(10, 0.75), e.Fix.Millimoles(), 6)
	d.PH = 2 // a fiftieth of it would act
	_, err = buffer.Examine(d, s, list)
	assert.ErrorContains(t, err, "is not an acid at pH 2")
}
