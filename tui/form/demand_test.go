package form

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/meter/remedy"
)

// Recipes know no flag, and a hint that is worded anew must not lose its own: what the flags
// are put beside stands in chem/recipe as it does here.
func TestFlagsStandBesideWordsOfRecipes(t *testing.T) {
	files, err := filepath.Glob("../../chem/recipe/*.go")
	require.NoError(t, err)
	rooms, err := filepath.Glob("../../chem/recipe/*/*.go")
	require.NoError(t, err)
	files = append(files, rooms...)
	var all strings.Builder
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		assert.False(t, strings.Contains(string(text), "\"--"), "%s names a flag", f)
		all.Write(text)
	}
	require.Greater(t, all.Len(), 10_000, "the recipes were found")
	for _, x := range flagsOf {
		assert.True(t, strings.Contains(all.String(), x[0]), "no hint of chem/recipe says what %s does", x[1])
	}
	got := refused(recipe.Problems{{Field: "ph", What: "too far", Hint: "name it and allow pKa′ beyond ±1"}})
	var e *remedy.Error
	require.ErrorAs(t, got, &e)
	assert.Equal(t, []string{"name it (--buffer) and allow pKa′ beyond ±1 (--anyway)"}, e.Hints)
}

// What is wrong is said of a flag on the command line, and of a field in the form, by the
// same words.
func TestFaultsByFlagAndByField(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	for field, f := range map[string]Wanted{
		"strength": {Strength: "200x"}, "dropper": {Dropper: "blue"}, "with": {With: "Foo 1 mM"}, "stock": {Stock: []string{"NaOH"}},
	} {
		f.PH, f.MM, f.ML, f.PurityPct, f.FillPct, f.TempC, f.BenchC, f.Changed = 7.4, 50, 100, 100, 80, 25, 25, func(string) bool { return false }
		_, err := f.demand()
		var bad recipe.Problems
		require.True(t, errors.As(err, &bad), field)
		require.Len(t, bad, 1, field)
		assert.Equal(t, field, bad[0].Field)
		assert.NotContains(t, bad[0].What+bad[0].Hint, "--"+field, "no flag in the words of the form")
		assert.Contains(t, fieldFaults(err), field)
		_, err = f.Demand()
		require.ErrorContains(t, err, "--"+field+": "+bad[0].What)
	}
}

// What is to be poured from a stock is measured from it, and not weighed.
func TestStocksAmongWhatIsInItBesides(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	f := Wanted{PH: 7.4, MM: 50, ML: 1000, PurityPct: 100, FillPct: 80, TempC: 25, BenchC: 25, With: "5 M NaCl 30 mL; KCl 10 mM", Stock: []string{"HCl 1 M"}, Changed: func(string) bool { return false }}
	d, err := f.demand()
	require.NoError(t, err)
	require.Len(t, d.Bottles, 2)
	assert.Equal(t, "NaCl 5 M", d.Bottles[1].Name())
}

// What brings an ammonium salt up to its pH is ammonia, and what brings it down its own acid: of
// both nobody wants a metal ion, or chloride, in what is to evaporate.
func TestAmmoniumSaltsAreBroughtWithTheirOwn(t *testing.T) {
	for text, with := range map[string]string{
		"10 mM ammonium acetate pH 9.0": "ammonia", "10 mM ammonium acetate pH 5.0": "acetic acid",
		"20 mM ammonium formate pH 3.5": "formic acid", "20 mM ammonium phosphate pH 7": "ammonia",
	} {
		var out, talk strings.Builder
		f := Wanted{Check: text, PH: 7, ML: 500, MM: 50, Tolerance: 0.05, TempC: 25, BenchC: 25, FillPct: 80, PurityPct: 100, Acid: "HCl", Way: "titrate", Salt: "NaCl", Changed: func(string) bool { return false }}
		require.NoError(t, f.Plan(Terminal{Out: &out, Talk: &talk}), text)
		assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), "mmol of "+with, text)
		assert.NotContains(t, strings.Join(strings.Fields(out.String()+talk.String()), " "), "the other way", text)
	}
}

// A stock that is too strong to be computed is known when it is diluted. 20× SSC takes there what
// twenty times the dilute one takes: 0.65 mmol for each litre of it.
func TestAStockThatIsTooStrongIsKnownDiluted(t *testing.T) {
	say := func(text string) string {
		var out, talk strings.Builder
		f := Wanted{Check: text, PH: 7, ML: 500, MM: 50, Tolerance: 0.05, TempC: 25, BenchC: 25, FillPct: 80, PurityPct: 100, Acid: "HCl", Way: "titrate", Salt: "NaCl", Changed: func(string) bool { return false }}
		require.NoError(t, f.Plan(Terminal{Out: &out, Talk: &talk}), text)
		return strings.Join(strings.Fields(out.String()+talk.String()), " ")
	}
	text := say("20x SSC: 3 M NaCl, 0.3 M trisodium citrate, pH 7.0")
	assert.Contains(t, text, "How much that takes is not said")
	assert.Contains(t, text, "from where acid takes it there")
	assert.Regexp(t, `diluted 20-fold, as its heading says, it reads pH 8\.[0-9]+ ± 0\.[0-9]+ at 25 °C\. 13 ± 1 mmol of acid in the whole of the stock bring that to pH 7\.00`, text)
	assert.Contains(t, say("0.15 M NaCl, 0.015 M trisodium citrate, pH 7.0"), "it takes 0.65")
	assert.Contains(t, say("8 M urea; 89 mM Tris; 89 mM boric acid; 2 mM EDTA"), "urea: no charge at pH above 2; 6 to 8 M raises pKa")
}

// A gas above it is none of what a buffer is made of, and is not passed over in silence.
func TestAGasIsNoneOfWhatIsInIt(t *testing.T) {
	d := buffer.NewDemand(7.4)
	f := Wanted{}
	f.With = "NaCl 150 mM; 5 % CO2"
	require.ErrorContains(t, f.besides(&d), "carbon dioxide above it")
	f.With = "NaCl 150 mM"
	require.NoError(t, f.besides(&d))
	require.Len(t, d.With, 1)
}
