package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/solved"
)

func TestWithSpread(t *testing.T) {
	assert.Equal(t, "28.57 ± 0.03", withSpread(28.571, 0.031))
	assert.Equal(t, "29 ± 3", withSpread(28.571, 3.1))
}

// How much of a metal is free is said with its spread from 3 % on.
func TestSpreadOfAFreeMetal(t *testing.T) {
	assert.NotContains(t, freeText(solved.Free{Free: 1e-3, Total: 2e-3, PerLitre: 1, Spread: 0.028}), "±")
	assert.Contains(t, freeText(solved.Free{Free: 1e-3, Total: 2e-3, PerLitre: 1, Spread: 0.032}), "(± 3 %)")
}

// A form is listed from a share of 0.005 % on, water always.
func TestFormsThatAreListed(t *testing.T) {
	var out strings.Builder
	require.NoError(t, writeSpecies(&out, []solved.Species{
		{System: "a", Name: "plenty", Fraction: 6e-5}, {System: "a", Name: "trace", Fraction: 4e-5}, {System: "water", Name: "water"}}))
	assert.Contains(t, out.String(), "plenty")
	assert.NotContains(t, out.String(), "trace")
	assert.Contains(t, out.String(), "water")
}

// Five candidates are listed beside a recipe; their capacity is in mM per pH.
func TestCandidatesBesideARecipe(t *testing.T) {
	assert.NotContains(t, choiceHead(buffer.Demand{}, 5), "best")
	assert.Contains(t, choiceHead(buffer.Demand{}, 6), "(best 5 of 6; --list shows all)")
	_, rows := Candidates(buffer.Demand{}, []buffer.Candidate{{System: &chem.System{Name: "x"}, Capacity: 0.012, PerLitre: 0.05}})
	assert.Equal(t, "12", rows[0][3])
	assert.Equal(t, "50", rows[0][5])
}
