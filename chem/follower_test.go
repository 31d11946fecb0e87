package chem

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/halfdrop/chem/pitzer"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// settledPH is the pH after plain half steps until nothing moves: what the
// follower stops short of.
func settledPH(m *Model, c *Composition, ph float64, md Medium) float64 {
	var base, mol [pitzer.MaxLocal]float64
	var lnG [pitzer.MaxLocal]float64
	var f pitzer.Field
	m.strongIons(c, &base, &f)
	h := math.Pow(10, -ph)
	for range 400 {
		h, _, _, _ = m.neutral(h, &md, c, 1e-9)
		mol = base
		m.molalities(h, &md, c, &mol)
		_, lnW := m.around(&f, &mol, &lnG, false)
		moved := 0.0
		for k := range m.act.Wanted {
			d := (lnG[k] - md.lnG[k]) / 2
			md.lnG[k] += d
			moved = math.Max(moved, math.Abs(d))
		}
		md.lnWater += (lnW - md.lnWater) / 2
		m.conditional(&md)
		if moved < 1e-13 {
			break
		}
	}
	h, _, _, _ = m.neutral(h, &md, c, 1e-9)
	return -math.Log10(h)
}

// Where the follower stops, no pH is off by 2e-8: cold, from near, and from the
// medium of a mixture two parts in a hundred away; up to several mol/kg.
func TestWhatIsSettledStays(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	worst := map[string]float64{}
	for n := range 400 {
		m, c := anyMixture(t, r)
		var md Medium
		cold, err := m.SolveIn(&c, math.NaN(), &md)
		require.NoError(t, err)
		want := settledPH(m, &c, cold.PH, md)
		near, err := m.SolveNear(&c, Equilibrium{PH: cold.PH + 0.05, Strength: cold.Strength * 1.02})
		require.NoError(t, err)
		before := c
		before.Charge, before.Strength = c.Charge*0.98, c.Strength*0.98
		var at Medium
		e, err := m.SolveIn(&before, math.NaN(), &at)
		require.NoError(t, err)
		next, err := m.SolveIn(&c, e.PH, &at)
		require.NoError(t, err)
		for way, ph := range map[string]float64{"cold": cold.PH, "near": near.PH, "next": next.PH} {
			worst[way] = math.Max(worst[way], math.Abs(ph-want))
			assert.InDelta(t, want, ph, 2e-8, "mixture %d, %s", n, way)
		}
	}
	t.Logf("largest error of a pH: %.1e cold, %.1e near, %.1e next", worst["cold"], worst["near"], worst["next"])
}

// anyMixture has up to four systems of one to three steps, 1 µmol/kg to 3 mol/kg.
func anyMixture(t *testing.T, r *rand.Rand) (*Model, Composition) {
	c := Composition{Water: 1}
	var systems []*System
	lo, hi := -1e-3, 1e-3
	for i := range 1 + r.IntN(4) {
		s := &System{Name: fmt.Sprint("system ", i), Charge: r.IntN(3) - 1}
		pk := 1 + 5*r.Float64()
		for range 1 + r.IntN(3) {
			s.Steps = append(s.Steps, Step{PK: pk})
			pk += 0.5 + 4*r.Float64()
		}
		c.Totals[i] = math.Pow(10, -6+6.5*r.Float64())
		lo -= c.Totals[i] * float64(s.Charge)
		hi -= c.Totals[i] * float64(s.Charge-len(s.Steps))
		systems = append(systems, s)
	}
	c.Charge = lo + (hi-lo)*r.Float64()
	c.Strength = math.Abs(c.Charge) + r.Float64()*r.Float64()
	m, err := NewModel(25, systems)
	require.NoError(t, err)
	return m, c
}

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
