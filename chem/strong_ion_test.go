package chem

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// An ion may be there as a strong one and as the form of a buffer: azide counts
// as thiocyanate does. It is one ion, and is there once.
func TestAStrongIonThatIsAlsoAForm(t *testing.T) {
	m, err := NewModel(25, []*System{{Name: "like azide", Steps: []Step{{PK: 4.7}}, Forms: []Form{{Name: "acid"}, {Name: "anion", Ion: "SCN"}}}})
	require.NoError(t, err)
	c := Composition{Water: 1, Charge: 0.01, Strength: 0.21}
	slot, ok := slotOf(Ion{Name: "SCN-", Charge: -1})
	require.True(t, ok)
	c.Totals[0], c.Ions[slot] = 0.02, 0.1
	var md Medium
	e, err := m.SolveIn(&c, math.NaN(), &md)
	require.NoError(t, err)
	// Half of Σz²m: 0.1 mol of thiocyanate, 0.11 of sodium, 0.01 of the form.
	require.InDelta(t, 0.11, e.Strength, 1e-4)
}
