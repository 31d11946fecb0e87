package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What plan --check says of a column's buffer, and of a slope that rests on no measured heat.
func TestPlanCheckSaysWhatIsSo(t *testing.T) {
	out, _, err := runCommand(newPlanCommand(), "--check", "50 mM NaH2PO4 pH 8.0, 300 mM NaCl, 250 mM imidazole") // of a column: a salt is to be brought to its pH
	require.NoError(t, err)
	assert.Contains(t, out, "sodium hydroxide")
	assert.NotContains(t, out, "as they come")
	for recipe, want := range map[string]string{"50 mM HEPES pH 7.5": "dpH/dT −0.012 per °C", "50 mM Bicine pH 2.2": " ± 0.009 per °C"} { // a heat that is not known
		out, _, err = runCommand(newPlanCommand(), "--check", recipe)
		require.NoError(t, err)
		assert.Contains(t, strings.Join(strings.Fields(out), " "), want, recipe)
	}
}

// A recipe that calls itself a stock says what it reads where it is used, unless it is asked
// what it is as a stock of something else.
func TestPlanCheckOfAStock(t *testing.T) {
	const pbs = "10x PBS\n80 g NaCl\n2 g KCl\n14.4 g Na2HPO4 anhydrous\n2.4 g KH2PO4\nwater to 1 L"
	out, _, err := runCommand(newPlanCommand(), "--check", pbs)
	require.NoError(t, err)
	words := strings.Join(strings.Fields(out), " ")
	assert.Regexp(t, `pH 7\.0\d ± 0\.1 at 25 °C, made up to 1000 mL\.`, words)
	assert.Regexp(t, `Diluted 10-fold, as its heading says, it reads pH 7\.5\d ± 0\.02`, words) // 10 to 1.8 mM of phosphates, pK2′ 6.77 at I 0.17: 7.51
	out, _, err = runCommand(newPlanCommand(), "--check", pbs, "--strength", "10x")
	require.NoError(t, err)
	assert.NotContains(t, out, "as its heading says")
}

// What a recipe leaves open is not held against it: three buffers at their pH, of which one is
// a salt, name no acid that would lead the other way.
func TestPlanCheckHoldsNoGuessAgainstARecipe(t *testing.T) {
	_, talk, err := runCommand(newPlanCommand(), "--check", "25 mM MES, 25 mM Na-acetate, 25 mM HEPES pH 5.5")
	require.NoError(t, err)
	assert.Contains(t, talk, "taken as sodium acetate, brought to its pH\n")
	assert.NotContains(t, talk, "leads the other way")
	_, talk, err = runCommand(newPlanCommand(), "--check", "0.1 M NaH2PO4, 10 mM Tris-HCl, pH 8.0")
	require.NoError(t, err)
	assert.Contains(t, talk, "leads the other way", "which is said where it is named")
}
