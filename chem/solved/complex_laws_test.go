package solved_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
)

// randomBath is a mixture of one to three metals and one to four ligands of
// the table with their amounts anywhere from 1 nM to 1 M.
func randomBath(t testing.TB, r *rand.Rand) (chem.Solution, bool) {
	t.Helper()
	var metals, ligands []string
	for _, s := range table.Systems() {
		switch {
		case table.KindOf(s.Name) == table.Metal:
			metals = append(metals, s.Name)
		case len(s.Complexes) > 0:
			ligands = append(ligands, s.Name)
		}
	}
	systems := map[string]float64{}
	charge := 0.0
	for i := range 1 + r.IntN(3) + 1 + r.IntN(4) {
		list := ligands
		if i == 0 || r.IntN(3) == 0 {
			list = metals
		}
		systems[list[r.IntN(len(list))]] = math.Pow(10, -6+9*r.Float64())
	}
	lo, hi := 0.0, 0.0
	for name, mmol := range systems {
		s, err := table.System(name)
		require.NoError(t, err)
		lo += mmol * float64(s.Charge-len(s.Steps))
		hi += mmol * float64(s.Charge)
	}
	charge = lo + (hi-lo)*r.Float64()
	strong := map[string]float64{"Na+": 50, "Cl-": 50}
	if charge > 0 {
		strong["Cl-"] += charge
	} else {
		strong["Na+"] -= charge
	}
	sum := 0.0
	for _, n := range systems {
		sum += n
	}
	return bath(t, 25, systems, strong), sum < 2000
}

// In a thousand mixtures of metals and ligands the parts add up to the totals,
// every complex obeys its constant, and charges balance: checked from the
// species alone, without the solver.
func TestComplexesAddUpAndObeyTheirConstants(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 2))
	settled := 0
	for n := 0; n < 1000; n++ {
		s, ok := randomBath(t, r)
		if !ok {
			continue
		}
		res, err := solved.Describe(s)
		if err != nil {
			require.ErrorIs(t, err, chem.ErrUnsettled)
			continue
		}
		settled++
		kg := s.WaterMass().Kilograms()
		have, charge := map[string]float64{}, 0.0
		lnA := map[string]float64{} // ln activity by system and charge
		for _, sp := range res.Species {
			charge += float64(sp.Charge) * sp.Molality * kg
			if sp.Complex == nil {
				have[sp.System] += sp.Molality * kg
				lnA[fmt.Sprint(sp.System, sp.Charge)] = math.Log(sp.Molality) + sp.LogGamma*math.Ln10
				continue
			}
			have[sp.System] += float64(sp.Complex.Ligands) * sp.Molality * kg
			have[sp.Complex.Metal] += float64(sp.Complex.Metals) * sp.Molality * kg
		}
		for _, x := range s.Ions {
			charge += float64(x.Ion.Charge) * x.Amount.Moles()
		}
		total := 0.0
		for _, x := range s.Systems {
			assert.InEpsilon(t, x.Amount.Moles(), have[x.System.Name], 1e-8, x.System.Name)
			total += x.Amount.Moles()
		}
		require.InDelta(t, 0, charge, 1e-7*(total+0.1))
		for _, sp := range res.Species {
			x := sp.Complex
			if x == nil || x.Water != 0 {
				continue
			}
			lig, err := table.System(sp.System)
			require.NoError(t, err)
			want := x.LogB*math.Ln10 - float64(x.Protons)*res.PH*math.Ln10 +
				float64(x.Ligands)*lnA[fmt.Sprint(sp.System, lig.Charge-len(lig.Steps))]
			if x.Metal != "" {
				m, err := table.System(x.Metal)
				require.NoError(t, err)
				want += float64(x.Metals) * lnA[fmt.Sprint(x.Metal, m.Charge)]
			}
			assert.InDelta(t, want, math.Log(sp.Molality)+sp.LogGamma*math.Ln10, 1e-4, sp.Name)
		}
	}
	t.Log(settled, "solved")
	assert.Greater(t, settled, 500)
}

// In the medium of a mixture with complexes the charge is linear: the parts
// taken one by one give the whole.
func TestChargeInIsLinearWithComplexes(t *testing.T) {
	whole := bath(t, 25, map[string]float64{"EDTA": 2, "magnesium": 5, "HEPES": 20, "phosphate": 10}, map[string]float64{"Na+": 40, "Cl-": 10})
	m, err := chem.NewModel(25, func() (out []*chem.System) {
		for _, x := range whole.Systems {
			out = append(out, x.System)
		}
		return out
	}())
	require.NoError(t, err)
	c, err := m.Compose(whole)
	require.NoError(t, err)
	var md chem.Medium
	e, err := m.SolveIn(&c, math.NaN(), &md)
	require.NoError(t, err)
	all, slope := m.ChargeIn(e.PH, &md, &c)
	assert.InDelta(t, 0, all, 1e-7)
	assert.Less(t, slope, 0.0)
	sum := 0.0
	for i := range c.Totals {
		part := chem.Composition{Water: c.Water / float64(len(c.Totals))}
		part.Totals[i] = c.Totals[i]
		q, _ := m.ChargeIn(e.PH, &md, &part)
		sum += q
	}
	assert.InDelta(t, all-c.Charge, sum, 1e-9)
}

// A mixture that holds no metal, and one whose metal is there in name only,
// are the same.
func TestAbsentMetalChangesNothing(t *testing.T) {
	s := bath(t, 25, map[string]float64{"phosphate": 50}, map[string]float64{"Na+": 80})
	a, err := solved.Describe(s)
	require.NoError(t, err)
	both := chem.Mix(s, bath(t, 25, map[string]float64{"calcium": 0}, nil))
	both.Volume = chem.Litre
	b, err := solved.Describe(both)
	require.NoError(t, err)
	assert.InDelta(t, a.PH, b.PH, 1e-8)
}
