package find_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/table"
)

// kit puts a bench together from the tables: what is in the beaker, in mmol, and
// the first titrant.
type kit struct {
	reagent string
	mmol    float64
	partSD  float64
	ml      float64
	titrant string
	molar   float64
	what    find.What
	pkSD    float64
	change  func(*find.Bench)
}

func (k kit) bench(t testing.TB) *find.Bench {
	t.Helper()
	r, err := table.ByAmount(k.reagent)
	require.NoError(t, err)
	x, err := table.ByAmount(k.titrant)
	require.NoError(t, err)
	return k.of(t, r.Dissolved(chem.Amount(k.mmol)*chem.Millimole), x.Dissolved(chem.Amount(k.molar)))
}

func (k kit) of(t testing.TB, content, litre chem.Solution) *find.Bench {
	t.Helper()
	carb, err := table.System("carbonate")
	require.NoError(t, err)
	all := chem.Mix(chem.Mix(content, litre), chem.Solution{Systems: []chem.SystemTotal{{System: carb, Amount: 0}}})
	var systems []*chem.System
	for _, s := range all.Systems {
		systems = append(systems, s.System)
	}
	m, err := chem.NewModel(25, systems)
	require.NoError(t, err)
	dry, err := m.Compose(content)
	require.NoError(t, err)
	dry.Water = 0
	per, err := m.Compose(chem.Mix(chem.Solution{Volume: chem.Litre, Temp: 25}, litre.At(25)))
	require.NoError(t, err)
	b := &find.Bench{Temp: 25, Systems: m.Systems(), Water: chem.Composition{Water: k.ml / 1e3 * 0.997},
		Parts:  []find.Part{{Name: k.reagent, Dry: dry, Moles: k.mmol / 1e3, SD: k.partSD}},
		Stocks: []find.Stock{{Name: k.titrant, PerLitre: per, Molar: k.molar, Step: 0.05e-3, By: find.Burette, SizeSD: 0.001, ReadSD: 0.015e-3, StrengthSD: 0.001}},
		What:   k.what, Goal: 0.002, GoalPK: 0.02, Start: chem.Volume(k.ml / 1e3), Vessel: chem.Volume(k.ml/1e3 + 0.1), ShiftSD: 0.03, SlopeSD: 0.01, BendSD: 0.008}
	if per.Charge > 0 {
		b.Stocks[0].Carbonate, b.Stocks[0].CarbonSD = 0.005, 0.005
	}
	for i, s := range m.Systems() {
		if dry.Totals[i] == 0 {
			continue
		}
		for j := range s.Steps {
			z := float64(s.Charge - j) // of the form that loses the proton
			if s.Steps[j].PK < 11 {
				b.BendSD = math.Max(b.BendSD, 0.01*((z-1)*(z-1)-z*z))
			}
			b.PKs = append(b.PKs, find.PK{System: i, Step: j, SD: math.Hypot(k.pkSD, 0.02*((z-1)*(z-1)-z*z))})
		}
	}
	if k.change != nil {
		k.change(b)
	}
	return b
}
