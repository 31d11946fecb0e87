package chem_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"example.org/halfdrop/chem/thermo"
)

// drawSolution is up to four reagents of the table that are acids, bases or
// ions, 1 nmol to 0.3 mol of each in one litre, at any temperature of the model.
func drawSolution(t *rapid.T) chem.Solution {
	s := chem.Solution{Volume: chem.Litre, Temp: chem.Celsius(rapid.Float64Range(0, 60).Draw(t, "temp"))}
	for range rapid.IntRange(1, 4).Draw(t, "reagents") {
		r := rapid.SampledFrom(reacting).Draw(t, "reagent")
		n := chem.Amount(math.Pow(10, rapid.Float64Range(-9, -0.5).Draw(t, "log mol")))
		s = chem.Mix(s, r.Dissolved(n).At(s.Temp))
	}
	return s
}

// reacting are the reagents that do more than take up room.
var reacting = slices.DeleteFunc(table.Reagents(), func(r table.Reagent) bool {
	return r.Inert() || r.Parts[0].System != nil && table.KindOf(r.Parts[0].System.Name) == table.Neutral
})

func drawOptions(t *rapid.T) []chem.Option {
	var opts []chem.Option
	if rapid.Bool().Draw(t, "ideal") {
		opts = append(opts, chem.Ideal)
	}
	if rapid.Bool().Draw(t, "open") {
		opts = append(opts, chem.OpenToAir(chem.AmbientCO2))
	}
	return opts
}

// Every valid solution has an answer, in which charge and mass are conserved.
// Since H⁺ balances the rest, the sum is taken with it.
func TestChargeAndMassAreConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSolution(t)
		r, err := solved.Describe(s, drawOptions(t)...)
		require.NoError(t, err)
		kg := s.WaterMass().Kilograms()
		charge, size := 0.0, 0.0
		mass := map[string]float64{}
		for _, sp := range r.Species {
			charge += float64(sp.Charge) * sp.Molality
			size += math.Abs(float64(sp.Charge) * sp.Molality)
			if sp.Complex == nil {
				mass[sp.System] += sp.Molality
				continue
			}
			mass[sp.System] += float64(sp.Complex.Ligands) * sp.Molality
			mass[sp.Complex.Metal] += float64(sp.Complex.Metals) * sp.Molality
		}
		for _, ion := range s.Ions {
			q := float64(ion.Ion.Charge) * ion.Amount.Moles() / kg
			charge += q
			size += math.Abs(q)
		}
		require.InDelta(t, 0, charge, 1e-7*size)
		for _, x := range s.Systems {
			if x.System.Name == "carbonate" {
				continue // the air may keep it up or take it away
			}
			require.InEpsilon(t, x.Amount.Moles()/kg, mass[x.System.Name], 1e-8)
		}
		require.Greater(t, r.Capacity, 0.0)
		require.GreaterOrEqual(t, r.Spread, 0.009)
	})
}

// More base, higher pH; more acid, lower.
func TestPHIsMonotoneInAddedBase(t *testing.T) {
	base, err := table.ByAmount("NaOH")
	require.NoError(t, err)
	acid, err := table.ByAmount("HCl")
	require.NoError(t, err)
	rapid.Check(t, func(t *rapid.T) {
		s := drawSolution(t)
		if len(s.Systems) == chem.MaxSystems {
			return
		}
		before, err := solved.Describe(s)
		require.NoError(t, err)
		n := chem.Amount(before.Capacity * rapid.Float64Range(0.001, 1).Draw(t, "part"))
		if n > 1 {
			return
		}
		up, err := solved.Describe(chem.Mix(s, base.Dissolved(n).At(s.Temp)))
		require.NoError(t, err)
		down, err := solved.Describe(chem.Mix(s, acid.Dissolved(n).At(s.Temp)))
		require.NoError(t, err)
		require.Greater(t, up.PH, before.PH)
		require.Less(t, down.PH, before.PH)
	})
}

// Half a dose twice is a dose, dilution by nothing changes nothing, and twice
// as much of everything has the same pH.
func TestDosesAddAndScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, dose := drawSolution(t), drawSolution(t).Scale(0.01)
		dose.Temp = s.Temp
		if len(chem.Mix(s, dose).Systems) > chem.MaxSystems {
			return
		}
		ph := func(s chem.Solution) float64 {
			r, err := solved.Describe(s)
			require.NoError(t, err)
			return r.PH
		}
		once := ph(chem.Mix(s, dose))
		twice := ph(chem.Mix(chem.Mix(s, dose.Scale(0.5)), dose.Scale(0.5)))
		require.InDelta(t, once, twice, 1e-6)
		require.Equal(t, ph(s), ph(chem.Mix(s, chem.Solution{Temp: s.Temp})))
		require.Equal(t, ph(s), ph(s.MadeUpTo(s.Volume)))
		require.InDelta(t, ph(s), ph(s.Scale(2)), 1e-6)
	})
}

// A start near or far, or none, leads to the same place, and the balance that
// is found there holds; up to several mol/kg.
func TestTheStartDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSolution(t)
		extra := rapid.Float64Range(0, 8).Draw(t, "salt")
		s.Ions = append(s.Ions, chem.IonTotal{Ion: chem.Ion{Name: "Li+", Charge: 1}, Amount: chem.Amount(extra)}, chem.IonTotal{Ion: chem.Ion{Name: "ClO4-", Charge: -1}, Amount: chem.Amount(extra)})
		var sys []*chem.System
		for _, x := range s.Systems {
			sys = append(sys, x.System)
		}
		m, err := chem.NewModel(s.Temp, sys)
		require.NoError(t, err)
		c, err := m.Compose(s)
		require.NoError(t, err)
		cold, err := m.Solve(&c)
		require.NoError(t, err)
		far, err := m.SolveNear(&c, chem.Equilibrium{PH: rapid.Float64Range(-1.9, 15.9).Draw(t, "pH"), Strength: rapid.Float64Range(0, 12).Draw(t, "strength")})
		require.NoError(t, err)
		require.InDelta(t, cold.PH, far.PH, 1e-6)
		b := m.ChargeAt(chem.PH(cold.PH), cold.Strength, &c)
		require.InDelta(t, 0, b.Charge, 1e-5*(math.Abs(b.Slope)+1e-8), "0.00001 pH")
		require.InEpsilon(t, cold.Strength, b.Strength, 1e-5)
	})
}

func TestWaterAloneIsNeutral(t *testing.T) {
	m, err := chem.NewModel(25, nil)
	require.NoError(t, err)
	e, err := m.Solve(&chem.Composition{Water: 1})
	require.NoError(t, err)
	require.InDelta(t, thermo.WaterPK(thermo.Ref)/2, e.PH, 0.001)
	for _, c := range []chem.Composition{{}, {Water: -1}, {Water: math.NaN()}, {Water: math.Inf(1)}} {
		_, err = m.Solve(&c)
		require.ErrorIs(t, err, chem.ErrVolume)
	}
	for _, q := range []float64{math.NaN(), math.Inf(1), 1e9} {
		_, err = m.Solve(&chem.Composition{Water: 1, Charge: q, Strength: math.Abs(q)})
		require.ErrorIs(t, err, chem.ErrUnbalanced)
	}
}

// What no beaker can hold is answered with an error or NaN, leaves no medium to
// start from, and takes nothing else along.
func TestWhatNoBeakerHoldsHasNoMedium(t *testing.T) {
	m, err := chem.NewModel(25, nil)
	require.NoError(t, err)
	c := chem.Composition{Water: 1, Charge: 0.1, Strength: 0.1}
	for _, ph := range []float64{-400, 400, math.NaN(), math.Inf(1), math.Inf(-1)} {
		md := m.Salt(0.1)
		b := m.BalanceIn(ph, &md, &c)
		require.True(t, math.IsNaN(b.Charge) && math.IsNaN(b.Strength), "pH %g: %+v", ph, b)
		require.False(t, md.Made(), "pH %g", ph)
	}
	huge := chem.Composition{Water: 1, Charge: 0.1, Strength: math.Inf(1)}
	md := m.Salt(0.1)
	_, err = m.SolveIn(&huge, 7, &md)
	require.ErrorIs(t, err, chem.ErrUnbalanced)
	acid, err := m.Compose(chem.Solution{Ions: []chem.IonTotal{{Ion: chem.Ion{Name: "Cl", Charge: -1}, Amount: 0.3}}})
	require.NoError(t, err)
	less := chem.Composition{Water: 1}.Plus(-1, acid)
	_, err = m.SolveIn(&less, 7, &md)
	require.Error(t, err, "less than no chloride")
	e, err := m.SolveIn(&c, 7, &md)
	require.NoError(t, err)
	again, err := m.Solve(&c)
	require.NoError(t, err)
	require.InDelta(t, again.PH, e.PH, 1e-7)
}
