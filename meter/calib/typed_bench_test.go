package calib_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/walk"
)

// What a person types when a display of two decimals has stood for a quarter of a
// minute is off by what the electrode still drifts, and the spread that is claimed for
// it is that: about one in twenty lies beyond two of them, not one in five, and not
// none. The electrodes are those of the range of the bench.
func TestSpreadOfATypedValue(t *testing.T) {
	const n = 600
	beyond := 0
	sum := 0.0
	for seed := range uint64(n) {
		s := newStand(40000+seed, "ph")
		s.b.phDigits, s.b.every, s.b.own, s.b.ownSlope, s.b.ownZero, s.b.tempErr = 2, 1, 0, s.g.slope, s.g.offset, 0
		s.g.noise = math.Min(s.g.noise, 0.3)
		s.g.soaked(s.truth(choices(t, "7.00")[0]))
		p := walk.NewProcedure(choices(t, "4.01"), 25, wall)
		p.Warm(25)
		s.g.tempC = 25
		c, _, _ := p.Current()
		s.g.in = pool{ph: s.truth(c)}
		shown, stood := 0.0, 0
		for at := 1.0; at < 300 && stood < 15; at++ {
			s.g.to(at)
			if x := s.b.reads(s.g.shows(), 25).Value; x == shown {
				stood++
			} else {
				shown, stood = x, 0
			}
		}
		require.NoError(t, p.Type(0, meter.Reading{Quantity: meter.PH, Value: shown, Decimals: 2}, true))
		points, _ := p.Points()
		off := (*points[0].Shown - s.truth(c)) / points[0].SD
		sum += off * off
		if math.Abs(off) > 2 {
			beyond++
		}
	}
	rms := math.Sqrt(sum / n)
	t.Logf("%d of %d beyond two spreads, rms %.2f", beyond, n, rms)
	assert.InDelta(t, 1, rms, 0.2, "of the error over the spread")
	assert.InDelta(t, 0.06*n, beyond, 0.04*n)
}

// A value that was typed may stand beside one that was read: each counts as it is, and
// neither teaches anything of the other.
func TestATypedValueBesideReadings(t *testing.T) {
	for _, first := range []bool{true, false} {
		p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
		e := newProbe(0.98, 2, 3)
		e.noTemp = true
		e.temp = 25
		now := 0.0
		for i, name := range []string{"7.00", "4.01"} {
			ph := map[string]float64{"7.00": 7.00, "4.01": 4.005}[name]
			if (i == 0) == first {
				require.NoError(t, p.Type(now, meter.Reading{Quantity: meter.Millivolt, Value: rounded(2-0.98*59.16*(ph-7), 1), Decimals: 1}, true))
				continue
			}
			p.Ready(now)
			for points, _ := p.Points(); len(points) == i; points, _ = p.Points() {
				now++
				_, err := p.Push(now, e.after(ph))
				require.NoError(t, err)
				require.Less(t, now, 200.0)
			}
		}
		points, _ := p.Points()
		require.Len(t, points, 2)
		c := judged(t, nil, points...)
		assert.InDelta(t, 98, c.SlopePct, 2*c.SlopeSD)
		assert.Zero(t, points[1].Cov[0], "typed first: %v", first)
		assert.Equal(t, first, points[0].Typed)
		assert.InDelta(t, 0.02, points[map[bool]int{true: 0, false: 1}[first]].SD, 0.002)
	}
}
