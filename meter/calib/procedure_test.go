package calib_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
)

// probe is an electrode with a meter that is put into one liquid after another.
type probe struct {
	slope, offset, tau, noise, temp float64
	mv, both, noTemp                bool
	y                               float64 // ideal pH that it gives now
	r                               *rand.Rand
}

func newProbe(slope, offset, tau float64) *probe {
	return &probe{slope: slope, offset: offset, tau: tau, noise: 0.003, temp: 22.5, mv: true, y: 6.2, r: rand.New(rand.NewPCG(1, 2))}
}

// after lets a second pass in a liquid of a pH and gives a reading.
func (p *probe) after(ph float64) meter.Reading {
	t := chem.Celsius(p.temp)
	end := nernst.PH(p.offset+p.slope*nernst.MV(ph, t), t)
	p.y = end + (p.y-end)*math.Exp(-1/p.tau)
	y := p.y + p.noise*p.r.NormFloat64()
	r := meter.Reading{Value: math.Round(y*100) / 100, Decimals: 2, HasTemp: !p.noTemp, TempC: p.temp}
	if p.mv {
		r = meter.Reading{Quantity: meter.Millivolt, Value: math.Round(nernst.MV(y, t)*10) / 10, Decimals: 1, HasTemp: !p.noTemp, TempC: p.temp}
	}
	if p.both {
		r.MV, r.HasMV = r.Value, true
		r.Quantity, r.Value, r.Decimals = meter.PH, math.Round((y+0.2)*100)/100, 2
	}
	return r
}

func choices(t *testing.T, names ...string) []walk.Choice {
	t.Helper()
	var out []walk.Choice
	for _, n := range names {
		s, err := standards.Find(n, standards.Technical)
		require.NoError(t, err)
		out = append(out, walk.Choice{Standard: s, Lot: "L-" + n})
	}
	return out
}

func wall(t float64) time.Time { return noon.Add(time.Duration(t * float64(time.Second))) }

// lead goes through the standards; the electrode stands in what into says, and
// at most for 400 s in each. It gives the seconds that it took.
func lead(t *testing.T, p *walk.Procedure, e *probe, into func(walk.Choice) float64) float64 {
	t.Helper()
	now := 0.0
	for p.Stage() == walk.Immerse {
		for range 5 { // rinsing, in the air
			now++
			_, err := p.Push(now, e.after(6))
			require.NoError(t, err)
		}
		c, _, _ := p.Current()
		p.Ready(now)
		for range 400 {
			now++
			changed, err := p.Push(now, e.after(into(c)))
			require.NoError(t, err)
			if changed {
				break
			}
		}
	}
	return now
}

func truthful(t *testing.T, e *probe) func(walk.Choice) float64 {
	return func(c walk.Choice) float64 {
		ph, err := c.Standard.PH(chem.Celsius(e.temp))
		require.NoError(t, err)
		return ph
	}
}

// Slope and offset of an electrode are found from its settling readings, for
// fast and slow electrodes and for meters that send mV, pH and both.
func TestProcedureFindsTheElectrode(t *testing.T) {
	for _, tau := range []float64{3, 8, 18} {
		for _, kind := range []string{"mv", "both"} {
			e := newProbe(0.967, 7.5, tau)
			e.both = kind == "both"
			p := walk.NewProcedure(choices(t, "7.00", "4.01", "10.01"), 25, wall)
			took := lead(t, p, e, truthful(t, e))
			require.Equal(t, walk.Done, p.Stage(), "%s, tau %g", kind, tau)
			points, check := p.Points()
			require.Len(t, points, 3)
			assert.Nil(t, check)
			c := judged(t, nil, points...)
			assert.InDelta(t, 96.7, c.SlopePct, 0.5, "%s, tau %g", kind, tau)
			assert.InDelta(t, 7.5, c.OffsetMV, 1.0, "%s, tau %g", kind, tau)
			assert.Equal(t, calib.Accepted, c.Verdict)
			assert.InDelta(t, math.Log(tau), math.Log(c.TauS), 1)
			assert.Equal(t, "L-7.00", points[0].Lot)
			assert.InDelta(t, 22.5, points[0].TempC, 0.05)
			t.Logf("%s, tau %g s: slope %.2f %%, offset %.2f mV, tau %.1f s, in %.0f s", kind, tau, c.SlopePct, c.OffsetMV, c.TauS, took)
			if kind == "both" {
				assert.InDelta(t, points[0].PH+0.2, *points[0].Shown-(nernst.PH(*points[0].MV, 22.5)-points[0].PH), 0.02)
			}
		}
	}
}

// No time is fixed: a fast electrode is done much sooner than a slow one.
func TestProcedureWaitsAsLongAsNeeded(t *testing.T) {
	var took []float64
	for _, tau := range []float64{2.5, 20} {
		e := newProbe(0.99, 0, tau)
		took = append(took, lead(t, walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall), e, truthful(t, e)))
	}
	assert.Greater(t, took[1], 1.2*took[0])
}

func TestProcedureOfAMeterThatSendsPH(t *testing.T) {
	e := newProbe(0.995, -1, 6)
	e.mv, e.noTemp = false, true
	list := choices(t, "7.00", "10.01", "9.18")
	list[2].Check = true
	p := walk.NewProcedure(list, 22.5, wall)
	lead(t, p, e, truthful(t, e))
	require.Equal(t, walk.Done, p.Stage())
	points, check := p.Points()
	require.Len(t, points, 2)
	require.NotNil(t, check)
	c := judged(t, check, points...)
	assert.True(t, c.Checks())
	assert.Equal(t, calib.Accepted, c.Verdict, "%+v", c.Findings)
	assert.True(t, points[0].TempByHand)
}

// Put into the wrong beaker, the person is asked and nothing is taken.
func TestProcedureAsks(t *testing.T) {
	e := newProbe(0.98, 2, 5)
	p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
	lead(t, p, e, func(walk.Choice) float64 { return 10.0 })
	require.Equal(t, walk.Ask, p.Stage())
	assert.Contains(t, p.Why(), "is the electrode in the beaker of 7.00")
	points, _ := p.Points()
	assert.Empty(t, points)
	p.Again()
	require.Equal(t, walk.Immerse, p.Stage())
	p.Ready(500)
	for s := 501.0; s < 520; s++ {
		_, err := p.Push(s, e.after(10.0))
		require.NoError(t, err)
	}
	require.NoError(t, p.Accept(520))
	points, _ = p.Points()
	require.Len(t, points, 1)
	assert.True(t, points[0].ByHand)
}

// What it is asked about: a standard that is not on the list, two that were exchanged,
// and a standard that is right beside one that was taken although it was wrong.
func TestProcedureSaysWhatItReadsAs(t *testing.T) {
	for _, tc := range []struct {
		name                string
		first, second       float64 // what the beakers of 7.00 and 10.01 hold
		wantFirst, wantNext string
	}{
		{"another bottle", 4.00, 10.03, "it reads as 4.01 does: is the electrode in the beaker of 7.00, and what does its bottle say?",
			"it reads as 10.01 should, but not beside what was taken in 7.00: was that the right beaker? If not, cancel and start again"},
		{"exchanged", 10.03, 7.01, "it reads as 10.01 should: is the electrode in that beaker?",
			"it reads as 7.00 should, and 7.00 read as 10.01 should: if the two were exchanged, cancel and start again"},
		{"no standard at all", 5.5, 12.0, "is the electrode in the beaker of 7.00, cap off, plug in?", "is the electrode in the beaker of 10.01, cap off, plug in?"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			e := newProbe(0.98, 2, 5)
			p := walk.NewProcedure(choices(t, "7.00", "10.01"), 25, wall)
			at := lead(t, p, e, func(walk.Choice) float64 { return tc.first })
			require.Equal(t, walk.Ask, p.Stage())
			assert.Contains(t, p.Why(), tc.wantFirst)
			require.NoError(t, p.Accept(at))
			p.Ready(at + 10)
			for s := at + 11; p.Stage() == walk.Settle; s++ {
				_, err := p.Push(s, e.after(tc.second))
				require.NoError(t, err)
			}
			require.Equal(t, walk.Ask, p.Stage())
			assert.Contains(t, p.Why(), tc.wantNext)
		})
	}
}

// Who stands in the wrong beaker, pH away, is told as soon as that is plain, not after the
// minute that the last hundredth takes.
func TestProcedureAsksSoonWhereItIsPlain(t *testing.T) {
	asked := func(tau, ph float64) float64 {
		e := newProbe(0.98, 2, tau)
		p := walk.NewProcedure(choices(t, "7.00", "10.01"), 25, wall)
		at := lead(t, p, e, func(walk.Choice) float64 { return ph })
		require.Equal(t, walk.Ask, p.Stage())
		return at
	}
	for _, tc := range []struct{ tau, ph, from, to float64 }{
		{3, 4.0, 22, 30},  // not sooner: Enter is pressed before the electrode is rinsed
		{12, 4.0, 27, 36}, // nor while it has more than half a pH to go
		{3, 8.3, 22, 30},  // 1.3 pH off is plain,
		{3, 7.9, 35, 120}, // 0.9 may be an electrode
	} {
		at := asked(tc.tau, tc.ph)
		assert.True(t, at > tc.from && at < tc.to, "%+v: %g s", tc, at)
	}
	// An electrode that comes from far away is not asked about on its way.
	e := newProbe(0.98, 2, 15)
	e.y = 1
	p := walk.NewProcedure(choices(t, "7.00", "10.01"), 25, wall)
	lead(t, p, e, truthful(t, e))
	require.Equal(t, walk.Done, p.Stage(), p.Why())
}

func TestProcedureAsksWhenItDrifts(t *testing.T) {
	e := newProbe(0.98, 2, 5)
	p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
	ph := 7.0
	lead(t, p, e, func(walk.Choice) float64 { ph += 0.002; return ph })
	points, _ := p.Points()
	require.Empty(t, points, "a drift of 0.12 pH a minute was taken as settled")
	require.Equal(t, walk.Ask, p.Stage())
	assert.Contains(t, p.Why(), "still moves by +0.12 pH a minute")
	// It comes to rest at last, and is taken without a word.
	now := 160.0
	for ; p.Stage() == walk.Ask && now < 500; now++ {
		_, err := p.Push(now, e.after(ph))
		require.NoError(t, err)
	}
	points, _ = p.Points()
	require.Len(t, points, 1)
	assert.False(t, points[0].ByHand)
}

// Noise that is known is no fault: it asks for a longer mean, and for a word.
func TestProcedureTakesANoisyMean(t *testing.T) {
	e := newProbe(0.98, 2, 5)
	e.noise = 0.08
	p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
	lead(t, p, e, truthful(t, e))
	require.Equal(t, walk.Done, p.Stage())
	points, _ := p.Points()
	c := judged(t, nil, points...)
	assert.InDelta(t, 98, c.SlopePct, 2)
	f, ok := finding(c, calib.CodeNoise)
	require.True(t, ok)
	assert.Contains(t, f.Text, "scatter")
}

func TestProcedureRefusesWhatItCannot(t *testing.T) {
	e := newProbe(1, 0, 5)
	p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
	p.Ready(0)
	require.ErrorIs(t, p.Accept(1), calib.ErrValue, "no reading yet")
	assert.Equal(t, walk.Done, walk.NewProcedure(nil, 25, wall).Stage())
	// Taken at the first reading it is what it is, and can be kept.
	for i := 0.0; i < 2; i++ {
		p.Ready(i)
		_, err := p.Push(i, e.after(7))
		require.NoError(t, err)
		require.NoError(t, p.Accept(i))
	}
	points, _ := p.Points()
	require.Len(t, points, 2)
	_, err := judged(t, nil, points...).Encode()
	require.NoError(t, err)
	p.Push(61, meter.Reading{Value: math.NaN(), Flags: meter.OverRange})
	require.NoError(t, walk.NewProcedure(nil, 25, wall).Accept(0))
}

// A temperature that no standard on a bench has, or at which nothing is known of
// the standard, is asked about before anything is taken, and forgotten when it
// comes right; nothing that was read before is lost.
func TestProcedureAsksAboutTheTemperature(t *testing.T) {
	for temp, want := range map[float64]string{0: "the meter sends 0.0 °C", 80: "the meter sends 80.0 °C", 58: "nothing is known of 7.00 at 58.0 °C"} {
		e := newProbe(1, 0, 5)
		p := walk.NewProcedure(choices(t, "4.01", "7.00"), 25, wall)
		into := truthful(t, e)
		now := 0.0
		step := func(n int) {
			c, _, _ := p.Current()
			ph := into(c)
			for range n {
				now++
				r := e.after(ph)
				if p.Stage() != walk.Immerse {
					_, number, _ := p.Current()
					if number == 2 {
						r.TempC = temp
					}
				}
				_, err := p.Push(now, r)
				require.NoError(t, err)
			}
		}
		step(5)
		p.Ready(now)
		for points, _ := p.Points(); len(points) < 1; points, _ = p.Points() {
			step(1)
		}
		step(5)
		p.Ready(now)
		step(100)
		require.Equal(t, walk.Ask, p.Stage())
		assert.Contains(t, p.Why(), want)
		require.Error(t, p.Accept(now), "nothing is taken at an impossible temperature")
		points, _ := p.Points()
		require.Len(t, points, 1)
		p.Warm(22.5)
		require.Equal(t, walk.Settle, p.Stage())
		step(100)
		points, _ = p.Points()
		require.Len(t, points, 2)
		assert.True(t, points[1].TempByHand)
		c := judged(t, nil, points...)
		assert.InDelta(t, 100, c.SlopePct, 3*c.SlopeSD)
	}
}
