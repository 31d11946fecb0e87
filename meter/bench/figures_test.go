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
