package spot_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/spot"
)

// bench tells an eye what a meter shows: the electrode follows a course with a
// time constant of 6 s, with noise of 0.004, once a second.
type bench struct {
	eye  spot.Eye
	step *spot.Step // what the tracker of the run has seen
	t    float64
	tau  float64
	at   float64 // the electrode
	sd   float64
	temp float64
	rnd  *rand.Rand
}

func newBench() *bench {
	return &bench{eye: spot.Open(0), tau: 6, at: 7, sd: 0.004, temp: 22, rnd: rand.New(rand.NewPCG(3, 5))}
}

// shows lets seconds pass in which the beaker has the pH of course(age).
func (b *bench) shows(seconds int, course func(age float64) float64) {
	for i := range seconds {
		b.t++
		b.at += (course(float64(i+1)) - b.at) * (1 - math.Exp(-1/b.tau))
		b.reads(b.at)
	}
}

// reads is a second in which the meter shows y whatever the electrode does.
func (b *bench) reads(y float64) {
	b.eye = b.eye.Read(spot.Reading{T: b.t, PH: y + b.sd*b.rnd.NormFloat64(), Temp: b.temp})
}

func (b *bench) says(seconds int, y func(age float64) float64) {
	for i := range seconds {
		b.t++
		b.reads(y(float64(i + 1)))
	}
}

func (b *bench) adds(expected float64, advised bool) {
	b.eye = b.eye.Added(spot.Addition{T: b.t, From: b.t, Expected: func() float64 { return expected }, Noise: b.sd, Advised: advised, Aim: 8, Tolerance: 0.03})
}

func (b *bench) sees() []spot.Finding {
	return b.eye.Look(spot.Case{T: b.t, StartLow: 9.8, StartHigh: 10.6, BenchTemp: 22, Tolerance: 0.03, Buffer: 5e-3, Noise: b.sd, Step: b.step})
}

func constant(y float64) func(float64) float64 { return func(float64) float64 { return y } }

// begun is a sound bench at rest in its first composition.
func begun() *bench {
	b := newBench()
	b.shows(60, constant(10.2))
	return b
}

// loud is a bench that gets noisier in its second composition.
func loud(b *bench) {
	b.adds(9, true)
	b.shows(60, constant(9))
	b.sd = 0.03
	b.shows(30, constant(9))
}

// Every sign that is in the readings themselves, on a bench made for it.
func TestReadings(t *testing.T) {
	for fault, story := range map[spot.Fault]func(b *bench){
		spot.Vortex: loud,
		// An electrode in the air is "hand-sensitive, rail to rail" (practice table).
		spot.DryTip: func(b *bench) { b.says(40, func(a float64) float64 { return 7 + 3*math.Sin(a/3) }) },
		// Seen: an open input went by 1 pH in 3 s on one meter; this one is slower.
		spot.Lead: func(b *bench) { b.says(60, func(a float64) float64 { return 10.2 - 0.03*a }) },
		spot.Wiped: func(b *bench) {
			b.says(15, func(a float64) float64 { return 10.2 + 0.3*math.Exp(-a/25) })
		},
		spot.Hole: func(b *bench) { b.says(260, func(a float64) float64 { return 10.2 + 0.0006*a }) },
		spot.CO2:  func(b *bench) { b.says(260, func(a float64) float64 { return 10.2 - 0.0006*a }) },
		spot.Cracked: func(b *bench) {
			b.says(30, constant(7.02))
		},
		spot.Unlogged: func(b *bench) {
			b.shows(40, constant(9.7))
			b.step = &spot.Step{From: 10.2, To: 9.7}
		},
		// No or weak stirring: dead time above 10 s (practice table).
		spot.Unstirred: func(b *bench) {
			b.adds(9, true)
			b.shows(14, constant(10.2))
			b.shows(50, constant(9))
		},
		spot.Zones: func(b *bench) {
			b.adds(9, true)
			b.shows(60, func(a float64) float64 { return 9 - 1.5*math.Exp(-a/8) })
		},
		spot.Early: func(b *bench) {
			for _, y := range []float64{9.6, 9.2, 8.8} {
				b.adds(y, false)
				b.shows(5, constant(y))
			}
			b.adds(8.4, false)
		},
		spot.Warm: func(b *bench) {
			for i := range 60 {
				b.temp = 30 - float64(i)*0.04
				b.shows(1, constant(10.2))
			}
		},
	} {
		t.Run(string(fault), func(t *testing.T) {
			b := begun()
			require.Empty(t, b.sees(), "before")
			story(b)
			got := b.sees()
			require.NotEmpty(t, got)
			assert.Equal(t, fault, got[0].Fault, got[0].Words())
			assert.NotEmpty(t, got[0].Evidence)
			assert.NotEmpty(t, got[0].Try)
		})
	}
}

// Signs that are there from the first reading.
func TestFirstReadings(t *testing.T) {
	for fault, story := range map[spot.Fault]func(b *bench){
		spot.Cap: func(b *bench) { b.says(30, constant(6.4)) },
		// About 0 mV whatever is in the beaker (ASTM D1287, seen in a digest).
		spot.Cracked: func(b *bench) { b.says(30, constant(7.03)) },
		// 20–60 s instead of 2–10 (practice table, derived).
		spot.Aged: func(b *bench) {
			b.tau = 35
			b.shows(170, constant(10.2))
		},
		spot.Clogged: func(b *bench) {
			b.says(170, func(a float64) float64 { return 10.2 - 3.2*math.Exp(-a/35) + 0.025*math.Sin(a/4) })
		},
		spot.CarryOver: func(b *bench) {
			b.shows(90, func(a float64) float64 { return 10.2 - 2.2*math.Exp(-a/45) })
		},
		spot.Temperature: func(b *bench) {
			b.temp = 37
			b.shows(60, constant(10.2))
		},
	} {
		t.Run(string(fault), func(t *testing.T) {
			b := newBench()
			story(b)
			got := b.sees()
			require.NotEmpty(t, got)
			assert.Equal(t, fault, got[0].Fault, got[0].Words())
		})
	}
}

// A sound run, watched for a quarter of an hour: settled readings, quick and
// slow meters, small and large steps.
func TestNothingIsWrong(t *testing.T) {
	for _, tau := range []float64{3, 6, 10} {
		for _, sd := range []float64{0.002, 0.006} {
			b := newBench()
			b.tau, b.sd = tau, sd
			for _, y := range []float64{10.2, 9.1, 8.6, 8.3, 8.2, 8.17, 8.15} {
				b.shows(45, constant(y))
				assert.Empty(t, b.sees(), "tau %g, noise %g, at %g", tau, sd, y)
				b.adds(y-0.05, true)
			}
			b.shows(400, constant(8.14))
			assert.Empty(t, b.sees(), "at the end, tau %g, noise %g", tau, sd)
		}
	}
}

// additions is a case in which additions of 1 mmol base each did so many times
// what their labels say, in a beaker of 10 mmol per pH.
func additions(did ...float64) spot.Case {
	c := spot.Case{T: 300, StartLow: 4.9, StartHigh: 5.3, BenchTemp: 22, Tolerance: 0.03, Buffer: 20e-3}
	ph, extra := 5.1, 0.0
	c.Stops = append(c.Stops, spot.Stop{PH: ph, SD: 0.003, Capacity: 10e-3})
	for i, r := range did {
		c.Doses = append(c.Doses, spot.Dose{Drops: 20, Charge: 1e-3})
		ph, extra = ph+0.1*r, extra+(r-1)*1e-3
		c.Stops = append(c.Stops, spot.Stop{After: i + 1, PH: ph, SD: 0.003, Extra: extra, Capacity: 10e-3})
	}
	return c
}

// What bottles, droppers and weighing did: the answers over the labels, as the
// practice table has them.
func TestResponses(t *testing.T) {
	for _, c := range []struct {
		fault spot.Fault
		did   []float64
	}{
		{spot.WeakTitrant, []float64{0.5, 0.49, 0.52, 0.5}},
		{spot.Dropper, []float64{1.5, 1.52, 1.47, 1.5}},
		{spot.HalfBuffer, []float64{2, 2.05, 1.96, 2}},
		{spot.Missed, []float64{1, 0.02, 1.03}},
		{spot.WrongTitrant, []float64{-1}},
		{spot.Unlogged, []float64{1, 1.02, 1.8, 0.99, 1}},
		{spot.Hole, []float64{1, 1.9, 0.1, 1.7, 0.95, 0.2}},
		{spot.Cap, []float64{0.01, 0, -0.01}},
		{spot.Cracked, []float64{9, 9, 0.02, 0.01}}, // to about pH 7, and no further
	} {
		got := spot.Open(0).Look(additions(c.did...))
		require.NotEmpty(t, got, c.fault)
		assert.Equal(t, c.fault, got[0].Fault, got[0].Words())
	}
	for _, did := range [][]float64{{1, 1, 1, 1}, {0.9, 0.92, 0.88}, {1.12, 1.1, 1.15, 1.1}, {1}, nil} {
		assert.Empty(t, spot.Open(0).Look(additions(did...)), did)
	}
}

// Drops that hang on the tip: one too few, then one too many.
func TestHangingDrops(t *testing.T) {
	c := additions(1, 1, 1, 1, 1, 1)
	for i := range c.Doses {
		c.Doses[i].Drops, c.Doses[i].Charge = 4, 1e-3
	}
	extra := 0.0
	for i := range c.Doses {
		extra = 0
		if i%2 == 0 {
			extra = -0.25e-3
		}
		c.Stops[i+1].Extra = extra
	}
	got := spot.Open(0).Look(c)
	require.NotEmpty(t, got)
	assert.Equal(t, spot.Hung, got[0].Fault, got[0].Words())
}

// The wrong form: the start is a whole buffer of charge away, and additions
// answer as they should.
func TestWrongSalt(t *testing.T) {
	c := additions(1, 1)
	for i := range c.Stops {
		c.Stops[i].PH -= 2
		c.Stops[i].Extra -= 15e-3
	}
	got := spot.Open(0).Look(c)
	require.NotEmpty(t, got)
	assert.Equal(t, spot.WrongSalt, got[0].Fault)
}

// The standards 4.01 and 7.00 exchanged: 11.01 less the pH, and the wrong way.
func TestSwapped(t *testing.T) {
	c := additions(1, 1)
	for i := range c.Stops {
		c.Stops[i].PH = 11.01 - c.Stops[i].PH
		c.Stops[i].Extra = 18e-3 - float64(i)*1.5e-3
	}
	got := spot.Open(0).Look(c)
	require.NotEmpty(t, got)
	assert.Equal(t, spot.Swapped, got[0].Fault)
}

// Every fault of the bench that its readings can show has a name here.
func TestNamesAreThoseOfTheBench(t *testing.T) {
	for _, f := range []spot.Fault{spot.Early, spot.Unstirred, spot.Zones, spot.Vortex, spot.DryTip, spot.Cap, spot.Cracked, spot.Lead, spot.Clogged,
		spot.Hole, spot.Aged, spot.Wiped, spot.Swapped, spot.Temperature, spot.Warm, spot.CO2, spot.Hung, spot.Missed, spot.Unlogged,
		spot.Dropper, spot.WeakTitrant, spot.WrongTitrant, spot.WrongSalt, spot.HalfBuffer, spot.CarryOver} {
		_, err := sim.FaultOf(string(f))
		assert.NoError(t, err)
	}
}

// An eye is a value: looking on in two ways from one moment gives two runs.
func TestEyeIsAValue(t *testing.T) {
	b := begun()
	old := *b
	loud(b)
	require.NotEmpty(t, b.sees())
	old.rnd = rand.New(rand.NewPCG(1, 1))
	old.shows(90, constant(10.2))
	assert.Empty(t, old.sees())
}
