package chem_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// fourSteps are mixtures of phosphate and Tris, ionic strength included.
func fourSteps(b *testing.B) []mixture {
	sys := []*chem.System{
		{Name: "phosphate", Steps: []chem.Step{{PK: 2.148}, {PK: 7.198}, {PK: 12.35}}},
		{Name: "Tris", Charge: 1, Steps: []chem.Step{{PK: 8.072}}},
	}
	m, err := chem.NewModel(25, sys)
	if err != nil {
		b.Fatal(err)
	}
	r := rand.New(rand.NewPCG(4, 4))
	out := make([]mixture, 64)
	for i := range out {
		c := chem.Composition{Water: 1}
		c.Totals[0], c.Totals[1] = 0.005+0.1*r.Float64(), 0.005+0.1*r.Float64()
		c.Charge = -c.Totals[1] + (c.Totals[1]+3*c.Totals[0])*r.Float64()
		c.Strength = math.Abs(c.Charge) + 0.2*r.Float64()
		out[i] = mixture{model: m, sys: sys, comp: c}
	}
	return out
}

func BenchmarkSolve(b *testing.B) {
	list := fourSteps(b)
	b.Run("cold", func(b *testing.B) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			x := &list[i%len(list)]
			if _, err := x.model.Solve(&x.comp); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("near", func(b *testing.B) {
		starts := make([]chem.Equilibrium, len(list))
		for i := range list {
			starts[i], _ = list[i].model.Solve(&list[i].comp)
		}
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			x := &list[i%len(list)]
			s := starts[i%len(list)]
			if _, err := x.model.SolveNear(&x.comp, chem.Equilibrium{PH: s.PH + 0.05, Strength: s.Strength * 1.02}); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("next", func(b *testing.B) { // as along a curve: two parts in a hundred further
		starts, media := make([]chem.Equilibrium, len(list)), make([]chem.Medium, len(list))
		for i := range list {
			starts[i], _ = list[i].model.SolveIn(&list[i].comp, math.NaN(), &media[i])
			list[i].comp.Charge *= 1.02
			list[i].comp.Strength *= 1.02
		}
		var md chem.Medium
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			k := i % len(list)
			md = media[k]
			if _, err := list[k].model.SolveIn(&list[k].comp, starts[k].PH, &md); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("charge in a held medium", func(b *testing.B) {
		var md chem.Medium
		list[0].model.SolveIn(&list[0].comp, math.NaN(), &md)
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			list[i%len(list)].model.ChargeIn(7, &md, &list[i%len(list)].comp)
		}
	})
	b.Run("balance at a pH", func(b *testing.B) {
		var md chem.Medium
		list[0].model.SolveIn(&list[0].comp, math.NaN(), &md)
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			k := i % len(list)
			at := md
			list[k].model.BalanceIn(7, &at, &list[k].comp)
		}
	})
	b.Run("with metal and ligand", func(b *testing.B) {
		s := chem.Solution{Volume: chem.Litre, Temp: 25}
		for _, x := range []struct {
			name string
			mmol chem.Amount
		}{{"HEPES", 20}, {"EDTA disodium salt", 1}, {"magnesium chloride", 5}, {"NaOH", 10}} {
			r, err := table.ByAmount(x.name)
			if err != nil {
				b.Fatal(err)
			}
			s = chem.Mix(s, r.Dissolved(x.mmol*chem.Millimole))
		}
		var sys []*chem.System
		for _, x := range s.Systems {
			sys = append(sys, x.System)
		}
		m, err := chem.NewModel(25, sys)
		if err != nil {
			b.Fatal(err)
		}
		c, err := m.Compose(s)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportAllocs()
		for b.Loop() {
			if _, err := m.Solve(&c); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("bisection", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			if math.IsNaN(list[i%len(list)].bisect()) {
				b.Fatal("no root")
			}
		}
	})
	b.Run("eigenvalues", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			if _, err := list[i%len(list)].companionSolve(); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("eigenvalues in a known medium", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			x := &list[i%len(list)]
			var md chem.Medium
			x.model.BalanceIn(7, &md, &x.comp)
			if _, err := x.companionPH(&md); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// bisect is the plain method: the sign of the charge, the pH halved to 1e-9,
// the medium as an outer fixed point.
func (x mixture) bisect() float64 {
	var md chem.Medium
	before := 7.0
	for range 60 {
		x.model.BalanceIn(before, &md, &x.comp)
		lo, hi := -2.0, 16.0
		for hi-lo > 1e-9 {
			mid := (lo + hi) / 2
			if q, _ := x.model.ChargeIn(mid, &md, &x.comp); q > 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		if math.Abs(lo-before) < 1e-9 {
			return lo
		}
		before = lo
	}
	return before
}
