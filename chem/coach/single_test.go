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

// TestLargeDropTakesConsent: where a drop of 0.026 pH is too much, half of one is
// taken; where that is, too, a person is asked, and asked again before one is
// given that may well pass the tolerance; never one that would lead farther away.
func TestLargeDropTakesConsent(t *testing.T) {
	for _, c := range []struct {
		name    string
		missing float64
		asks    int // times, before it goes on; 3 for ever
	}{
		{"half a drop lands short of the aim", 0.023, 0},
		{"half a drop passes the aim, not the tolerance", 0.010, 1},
		{"half a drop may pass the tolerance", 0.008, 2},
		{"half a drop leads farther away", 0.006, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			b, y := largeDrop(t, c.missing)
			b.Tolerance = math.Min(b.Tolerance, c.missing*0.9)
			r := coach.Request{Now: coach.Present{PH: y, Shown: y, SD: 0.001, FinalSD: 0.001, Settled: true, Age: 300}}
			a := b.Advise(r)
			for range c.asks {
				require.Equal(t, coach.Check, a.Do, "%+v", a)
				require.Equal(t, coach.DropTooBig, a.Reason)
				require.InDelta(t, 0.026, a.OneDrop, 0.003, "0.15 mmol over 5.76 mmol per pH, ln 10 · C/4 at the pK")
				r.Confirmed = append(r.Confirmed, a.Codes()...)
				a = b.Advise(r)
			}
			if c.asks == 3 {
				require.Equal(t, coach.Check, a.Do, "%+v", a)
				return
			}
			require.Equal(t, coach.Add, a.Do, "%+v", a)
			require.Equal(t, 0.5, a.Drops)
			require.Less(t, math.Abs(a.After-a.Aim), c.missing)
			require.LessOrEqual(t, a.Chance, []float64{0.015, 0.10, 1}[c.asks])
		})
	}
}

// TestFullBeakerTakesConsent: what does not fit under the mark is asked about,
// and given beyond it once a person has agreed to a larger volume.
func TestFullBeakerTakesConsent(t *testing.T) {
	b, y := largeDrop(t, 0.6)
	b.Final = b.Start + 0.1*chem.Millilitre // two drops; it takes about 23
	r := coach.Request{Now: coach.Present{PH: y, Shown: y, SD: 0.001, FinalSD: 0.001, Settled: true, Age: 300}}
	r.History.Additions = []coach.Addition{{Stock: 0, Volume: 0.05 * chem.Millilitre, Drops: 1}, {Stock: 0, Volume: 0.05 * chem.Millilitre, Drops: 1}}
	r.History.Observations = nil
	a := b.Advise(r)
	require.Equal(t, coach.Check, a.Do, "%+v", a)
	require.Equal(t, coach.NoRoom, a.Reason)
	r.Confirmed = a.Codes()
	a = b.Advise(r)
	require.Equal(t, coach.Add, a.Do, "%+v", a)
	require.Greater(t, a.Drops, 2.0)
}
