package chem_test

import (
	"testing"

	"example.org/halfdrop/chem"
	"github.com/stretchr/testify/require"
)

func TestEquimolalPhosphateStandard(t *testing.T) {
	p := &chem.System{Name: "phosphate", Steps: []chem.Step{{PK: 2.148, DH: -8, DCp: -141}, {PK: 7.198, DH: 3.6, DCp: -230}, {PK: 12.35, DH: 16, DCp: -242}}}
	m, err := chem.NewModel(25, []*chem.System{p})
	require.NoError(t, err)
	c, err := m.Compose(chem.Solution{
		Volume: chem.Litre, Temp: 25, Water: chem.Kilogram,
		Systems: []chem.SystemTotal{{System: p, Amount: 0.05}},
		Ions:    []chem.IonTotal{{Ion: chem.Ion{Name: "K", Charge: 1}, Amount: 0.025}, {Ion: chem.Ion{Name: "Na", Charge: 1}, Amount: 0.05}},
	})
	require.NoError(t, err)
	e, err := m.Solve(&c)
	require.NoError(t, err)
	// pH(S) 6.865 at 25 °C, 0.025 m KH2PO4 + 0.025 m Na2HPO4:
	// R. G. Bates, J. Res. NBS 66A, 179 (1962).
	require.InDelta(t, 6.865, e.PH, 0.012)
	require.InDelta(t, 0.1, e.Strength, 0.001)
}
