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
