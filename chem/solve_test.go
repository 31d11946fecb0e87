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

func BenchmarkSolveCold(b *testing.B) {
	p := &chem.System{Name: "phosphate", Steps: []chem.Step{{PK: 2.148, DH: -8, DCp: -141}, {PK: 7.198, DH: 3.6, DCp: -230}, {PK: 12.35, DH: 16, DCp: -242}}}
	q := &chem.System{Name: "tris", Charge: 1, Steps: []chem.Step{{PK: 8.072, DH: 47.45, DCp: -59}}}
	m, _ := chem.NewModel(25, []*chem.System{p, q})
	c := chem.Composition{Water: 1, Totals: [chem.MaxSystems]float64{0.05, 0.02}, Charge: 0.06, Strength: 0.06}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Solve(&c); err != nil {
			b.Fatal(err)
		}
	}
}
