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
