package written_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe/written"
)

// parts are amounts by the names of reagents, mmol.
type parts map[string]float64

// content is what a recipe says, in a litre or in what it says.
type content struct {
	parts   parts
	ph      float64 // NaN where nothing is said
	titrant string
	litres  float64 // 0 where nothing is said
}

// areRead asserts that a recipe holds them and nothing else; amounts within a share tol.
func (want parts) areRead(t *testing.T, text string, tol float64) *written.Reading {
	t.Helper()
	r, err := written.Read(text, chem.Litre)
	require.NoError(t, err, text)
	got := parts{}
	for _, p := range r.Parts {
		got[p.Reagent.Name] += p.Amount.Millimoles()
	}
	require.Len(t, got, len(want), "%s: %v", text, got)
	for name, mmol := range want {
		assert.InEpsilon(t, mmol, got[name], tol, "%s: %s", text, name)
	}
	return r
}

// isRead asserts that a recipe is read as that; amounts within a share tol.
func (want content) isRead(t *testing.T, text string, tol float64) {
	t.Helper()
	r := want.parts.areRead(t, text, tol)
	if math.IsNaN(want.ph) {
		assert.True(t, math.IsNaN(r.PH), text)
	} else {
		assert.InDelta(t, want.ph, r.PH, 1e-9, text)
	}
	assert.Equal(t, want.titrant, r.Titrant, text)
	assert.InDelta(t, want.litres, r.Volume.Litres(), 1e-9, text)
}
