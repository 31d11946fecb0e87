package chem_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem"
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
			if _, err := x.model.SolveNear(&x.comp, s.PH+0.05, s.Strength*1.02); err != nil {
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
	b.Run("eigenvalues at a known ionic strength", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			x := &list[i%len(list)]
			if _, err := x.companionPH(x.comp.Strength); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// bisect is the plain method: the sign of the charge, the pH halved to 1e-9,
// the ionic strength as an outer fixed point.
func (x mixture) bisect() float64 {
	i, before := x.comp.Strength/2, 0.0
	for range 60 {
		lo, hi := -2.0, 16.0
		for hi-lo > 1e-9 {
			mid := (lo + hi) / 2
			if q, _ := x.model.ChargeIn(mid, i, &x.comp); q > 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		if math.Abs(lo-before) < 1e-9 {
			return lo
		}
		before, i = lo, x.strengthAt(lo, i)
	}
	return before
}
