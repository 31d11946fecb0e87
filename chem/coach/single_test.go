package coach_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"github.com/stretchr/testify/require"
)

// largeDrop is a beaker of 10 mmol Tris, short of the target by so much, with
// one bottle of which a drop moves the pH by 0.026.
func largeDrop(t *testing.T, missing float64) (b *coach.Bench, shown float64) {
	t.Helper()
	tris := steps[1]
	m, err := chem.NewModel(25, []*chem.System{tris})
	require.NoError(t, err)
	weighed := chem.Composition{Totals: [chem.MaxSystems]float64{0.010}, Charge: -0.005, Strength: 0.005}
	b = &coach.Bench{
		Model: m, Use: m, Weighed: weighed, Water: chem.Composition{Water: 0.1}, Buffer: 0.010,
		Start: 100 * chem.Millilitre, Final: 101 * chem.Millilitre, FinalKg: 0.101, Tolerance: 0.02,
		Stocks: []coach.Stock{strong(3, 1)}, // 0.15 mmol a drop; 10 mmol Tris at its pK takes 5.8 mmol per pH
	}
	b.Stocks[0].DropSD = 0.05 // a dropper that was weighed
	c := b.Water.Plus(1, weighed)
	e, err := m.Solve(&c)
	require.NoError(t, err)
	b.Target = e.PH + missing
	return b, e.PH
}

// TestLargeDropTakesConsent: where not one drop is within "the mean does not
// pass the aim", the coach says so; once a person has seen it, one drop that
// lands in the tolerance is given, and never one that may pass it.
func TestLargeDropTakesConsent(t *testing.T) {
	for _, c := range []struct {
		name    string
		missing float64
		goesOn  bool
	}{
		{"a drop lands near the aim", 0.023, true},
		{"a drop would pass the tolerance", 0.010, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, y := largeDrop(t, c.missing)
			b.Tolerance = math.Min(b.Tolerance, c.missing*0.9)
			r := coach.Request{Now: coach.Present{PH: y, SD: 0.001, FinalSD: 0.001, Settled: true}}
			a := b.Advise(r)
			require.Equal(t, coach.Check, a.Do)
			require.Equal(t, coach.DropTooBig, a.Reason)
			require.InDelta(t, 0.026, a.OneDrop, 0.003, "0.15 mmol over 5.76 mmol per pH, ln 10 · C/4 at the pK")
			r.Confirmed = a.Codes()
			a = b.Advise(r)
			if !c.goesOn {
				require.Equal(t, coach.Check, a.Do)
				return
			}
			require.Equal(t, coach.Add, a.Do, "%+v", a)
			require.Equal(t, 1.0, a.Drops)
			require.LessOrEqual(t, a.Chance, 0.005)
			require.LessOrEqual(t, math.Abs(a.After-a.Aim), b.Tolerance)
		})
	}
}
