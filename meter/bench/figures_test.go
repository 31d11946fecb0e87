package bench_test

import (
	"math"
	"testing"

	"example.org/halfdrop/meter/bench"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What was learned of an electrode just now counts for 95 %, and half of that after sixty
// days: the rest is an electrode that nobody knows (choices).
func TestWhatIsKnownOfAnElectrodeFades(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{{At: monday, Electrode: &bench.Electrode{Name: "E7", TauS: 5,
		LatePct: []float64{50, 30, 20}, NoisePH: []float64{0.001, 0.003, 0.01}, NoisePct: []float64{50, 30, 20}, NoiseFirm: []float64{1, 1, 1}}}}}
	for days, fresh := range map[int]float64{-60: 52.5, 0: 5, 60: 52.5, 120: 76.25, 3650: 100} {
		got := b.Recall(plan(t, nil), "E7", monday.AddDate(0, 0, days))
		require.NotNil(t, got.Electrode)
		assert.InDelta(t, fresh, got.Electrode.FreshPct, 0.1, "%d days", days)
	}
}

// A strength that is off its label by more than 10 % is that of another bottle (a choice).
func TestALabelThatIsFarOffIsThatOfAnotherBottle(t *testing.T) {
	for found, used := range map[float64]bool{1.09: true, 0.92: true, 1.12: false, 0.89: false} {
		var b bench.Book
		b.State(bench.Stated{At: monday, Bottle: "B7", Molar: found, SDPct: 0.3})
		_, ok := b.Strength("B7", 1)
		assert.Equal(t, used, ok, "%g mol/L", found)
	}
}

// Of a bottle and a dropper that are not in the plan the label is trusted to 4 % and a drop
// to 10 % (choices). By hand, of a drop that brought 20 % more than both say: v = 0.04² +
// 0.1² + 0.015² + 0.02² + 0.01² = 0.012325, so that 0.1²/v of ln 1.2 = 0.1823 is the drop's.
func TestHowMuchIsTheDrops(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{ran(monday, 60)}}
	k := b.Known(monday)
	require.Len(t, k, 1)
	assert.InDelta(t, 50*math.Exp(0.01/0.012325*0.1823), k[0].ULNow, 0.02)
	assert.InDelta(t, math.Exp(0.0016/0.012325*0.1823), k[0].MolarNow, 0.001)
}

// A drop that brings something else than the drop weighed and the label would give is told
// from three standard deviations on. By hand: √(0.01² + 0.04² + 0.02² + 0.015² + 0.01²) =
// 4.92 %, three of which are 14.8 %.
func TestFromWhenOnADropContradictsItsLabel(t *testing.T) {
	for umol, told := range map[float64]bool{50 * 1.13: false, 50 / 1.13: false, 50 * 1.18: true, 50 / 1.18: true} {
		b := bench.Book{Runs: []bench.Run{ran(monday, umol)}, Weighs: []bench.Weighed{{At: monday, Dropper: "blue", UL: 50, SDPct: 1}}}
		assert.Equal(t, told, len(b.Contradictions()) == 1, "%.1f µmol", umol)
	}
}

// Of a dropper with one bottle nobody can tell which of the two was off: nine tenths of the
// variance count as the dropper's (a choice).
func TestADropperWithOneBottleKeepsATenthForItself(t *testing.T) {
	r := ran(monday, 60)
	r.Drops[0].Dropper, r.Drops[0].Bottle, r.Drops[0].Reagent, r.Drops[0].Molar, r.Drops[0].Umol = "red", "A1", "hydrochloric acid", 0.1, 6
	x := recalled(t, bench.Book{Runs: []bench.Run{r}}, plan(t, nil), monday)["HCl 0.1 M"]
	assert.InDelta(t, 0.1, x.OwnSDPct*x.OwnSDPct/(total(x)*total(x)), 0.01)
}

// bound is a figure with what just can be of it, and what no longer can.
type bound[T any] struct {
	name    string
	of      func(*T) *float64
	in, out [2]float64
}

// holds tries a bound on both sides.
func holds[T any](t *testing.T, fresh func() T, valid func(*T) error, list ...bound[T]) {
	t.Helper()
	for _, b := range list {
		for i := range b.in {
			x := fresh()
			*b.of(&x) = b.in[i]
			assert.NoError(t, valid(&x), "%s %g", b.name, b.in[i])
			x = fresh()
			*b.of(&x) = b.out[i]
			assert.Error(t, valid(&x), "%s %g", b.name, b.out[i])
		}
	}
}

// What cannot be is refused, and what just can be is not: in the file of a bench, and in
// what a journal says was taken over.
func TestWhatCannotBeIsRefused(t *testing.T) {
	molar, factor := [2][2]float64{{1.1e-4, 24}, {0.9e-4, 26}}, [2][2]float64{{1.1e-3, 990}, {0.9e-3, 1010}}
	percent, spread := [2][2]float64{{0, 99}, {-1, 101}}, [2][2]float64{{0, 490}, {-1, 510}}
	const asLabelled = -1
	holds(t, func() bench.Drop { return ran(monday, asLabelled).Drops[0] }, func(d *bench.Drop) error {
		if d.Umol == asLabelled {
			d.Umol = d.Molar * d.DropUL
		}
		b := bench.Book{Runs: []bench.Run{{At: monday, Drops: []bench.Drop{*d}}}}
		return b.Valid()
	},
		bound[bench.Drop]{"molar", func(d *bench.Drop) *float64 { return &d.Molar }, molar[0], molar[1]},
		bound[bench.Drop]{"size", func(d *bench.Drop) *float64 { return &d.DropUL }, [2]float64{0.55, 990}, [2]float64{0.45, 1010}},
		bound[bench.Drop]{"µmol", func(d *bench.Drop) *float64 { return &d.Umol }, [2]float64{50 * 0.055, 50 * 19}, [2]float64{50 * 0.045, 50 * 21}},
		bound[bench.Drop]{"sd", func(d *bench.Drop) *float64 { return &d.SDPct }, [2]float64{0.011, 99}, [2]float64{0.009, 101}},
	)
	holds(t, func() bench.Stated { return bench.Stated{At: monday, Bottle: "B7", Molar: 1, SDPct: 0.3} }, func(s *bench.Stated) error {
		b := bench.Book{Stated: []bench.Stated{*s}}
		return b.Valid()
	},
		bound[bench.Stated]{"molar", func(s *bench.Stated) *float64 { return &s.Molar }, molar[0], molar[1]},
		bound[bench.Stated]{"sd", func(s *bench.Stated) *float64 { return &s.SDPct }, [2]float64{0.011, 59}, [2]float64{0.009, 61}},
		bound[bench.Stated]{"carbonate", func(s *bench.Stated) *float64 { return &s.CarbonPct }, percent[0], percent[1]},
		bound[bench.Stated]{"its sd", func(s *bench.Stated) *float64 { return &s.CarbonSDPct }, percent[0], percent[1]},
	)
	holds(t, func() bench.TakenStock { return bench.TakenStock{Titrant: "NaOH", Factor: 1, MLFactor: 1} }, func(s *bench.TakenStock) error {
		return (&bench.Taken{Stocks: []bench.TakenStock{*s}}).Valid()
	},
		bound[bench.TakenStock]{"factor", func(s *bench.TakenStock) *float64 { return &s.Factor }, factor[0], factor[1]},
		bound[bench.TakenStock]{"factor of mL", func(s *bench.TakenStock) *float64 { return &s.MLFactor }, factor[0], factor[1]},
		bound[bench.TakenStock]{"carbonate", func(s *bench.TakenStock) *float64 { return &s.CarbonPct }, percent[0], percent[1]},
		bound[bench.TakenStock]{"its sd", func(s *bench.TakenStock) *float64 { return &s.CarbonSDPct }, percent[0], percent[1]},
		bound[bench.TakenStock]{"shared", func(s *bench.TakenStock) *float64 { return &s.SharedSDPct }, spread[0], spread[1]},
		bound[bench.TakenStock]{"own", func(s *bench.TakenStock) *float64 { return &s.OwnSDPct }, spread[0], spread[1]},
		bound[bench.TakenStock]{"of mL", func(s *bench.TakenStock) *float64 { return &s.MLSDPct }, spread[0], spread[1]},
	)
	glass := func() bench.Electrode {
		return bench.Electrode{Name: "E7", TauS: 5, TauSDPct: 20, LargePct: 50,
			LatePct: []float64{50, 30, 20}, NoisePH: []float64{0.001, 0.003, 0.01}, NoisePct: []float64{50, 30, 20}, NoiseFirm: []float64{1, 1, 1}}
	}
	valid := func(e *bench.Electrode) error {
		return (&bench.Taken{Electrode: &bench.TakenElectrode{Electrode: *e}}).Valid()
	}
	holds(t, glass, valid,
		bound[bench.Electrode]{"tau", func(e *bench.Electrode) *float64 { return &e.TauS }, [2]float64{0.011, 9900}, [2]float64{0.009, 10100}},
		bound[bench.Electrode]{"its sd", func(e *bench.Electrode) *float64 { return &e.TauSDPct }, [2]float64{0, 990}, [2]float64{-1, 1010}},
		bound[bench.Electrode]{"large", func(e *bench.Electrode) *float64 { return &e.LargePct }, percent[0], percent[1]},
		bound[bench.Electrode]{"late", func(e *bench.Electrode) *float64 { return &e.LatePct[2] }, [2]float64{0, 9900}, [2]float64{-1, 10100}},
		bound[bench.Electrode]{"noise", func(e *bench.Electrode) *float64 { return &e.NoisePH[0] }, [2]float64{0, 9900}, [2]float64{-1, 10100}},
	)
	for _, n := range []int{2, 4} {
		e := glass()
		e.LatePct = make([]float64, n)
		assert.ErrorContains(t, valid(&e), "three figures")
	}
}
