package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// runLength is the mean number of residuals, off by so many standard deviations, until the sum
// passes an alarm.
func runLength(shift, alarm, let float64, most int) float64 {
	const runs = 300
	r, n := rand.New(rand.NewPCG(8, 1)), 0
	for range runs {
		var c cusum
		for i := 0; i < most && c.sum <= alarm; i++ {
			c.push(float64(i), shift+r.NormFloat64(), let)
			n++
		}
	}
	return float64(n) / runs
}

// How long until a CUSUM alarms (D. Siegmund, Sequential Analysis, 1985, from memory): with a
// drift D of its sum and a bound b, which is 1.166 more than the alarm,
//
//	E N = (e^(−2Db) − 1 + 2Db) / 2D²
//
// A beaker at rest should alarm by itself less than once in a day of readings (86,400), and one
// that is off by a standard deviation within half a minute; while an order stands by itself in
// less than one of ten times a minute, and in about ten seconds after one standard deviation.
func TestHowLongUntilAMovementIsFound(t *testing.T) {
	siegmund := func(shift, alarm, let float64) float64 {
		d, b := shift-let, alarm+1.166
		return (math.Exp(-2*d*b) - 1 + 2*d*b) / (2 * d * d)
	}
	for _, c := range []struct {
		alarm, let   float64
		quiet, found [2]float64
	}{
		{alarmZ, driftZ, [2]float64{86400, math.Inf(1)}, [2]float64{15, 30}},
		{awaitZ, awaitLet, [2]float64{600, 5000}, [2]float64{8, 15}},
	} {
		found := runLength(1, c.alarm, c.let, 5000)
		assert.InEpsilon(t, siegmund(1, c.alarm, c.let), found, 0.12)
		assert.True(t, found > c.found[0] && found < c.found[1], "%.1f readings", found)
		quiet := siegmund(0, c.alarm, c.let)
		assert.True(t, quiet > c.quiet[0] && quiet < c.quiet[1], "%.0f readings", quiet)
	}
	short := runLength(0, awaitZ, awaitLet, 60)
	assert.Greater(t, short, 55.0, "of 60 readings of a beaker at rest")
	// One reading that is far out is no movement, though it passes the gate.
	var c cusum
	c.push(1, 1e3, driftZ)
	assert.True(t, c.sum > 2 && c.sum < 0.6*alarmZ, "%.1f", c.sum)
}

// Of normal noise about one reading in a day of them, 86,400, is held back, and as few where
// the noise is little known: the tail of Student's t, its density integrated by Simpson's rule
// over u = √t, t from the gate to 4,000,000.
func TestHowFarAReadingMayBeOff(t *testing.T) {
	for _, df := range []float64{1e5, 30, 10, 4} {
		a, _ := math.Lgamma((df + 1) / 2)
		b, _ := math.Lgamma(df / 2)
		c := math.Exp(a-b) / math.Sqrt(df*math.Pi)
		f := func(u float64) float64 {
			x := u * u
			return 2 * u * c * math.Pow(1+x*x/df, -(df+1)/2)
		}
		const n = 400000
		low := math.Sqrt(gate(df))
		h := (2000 - low) / n
		sum := f(low) + f(2000)
		for i := 1; i < n; i++ {
			sum += f(low+h*float64(i)) * float64(2+2*(i%2))
		}
		held := 86400 * 2 * sum * h / 3
		assert.True(t, held > 0.1 && held < 2, "%.2f a day with %g degrees of freedom", held, df)
	}
}

// Two readings in a row that are off are left out, and three are a movement: with a pair what
// was known before goes on.
func TestThreeReadingsAreAMovement(t *testing.T) {
	for n, moves := range map[int]int{1: 0, 2: 0, 3: 1} {
		k := pushed(stood(), 91, 90+n, level(5.1))
		k = k.Push(91+float64(n), map[bool]float64{true: 5.1, false: 5}[moves == 1])
		assert.Len(t, k.moves, moves, "%d readings", n)
	}
}

// How often a meter sends: a pause is no other rhythm, a second one of two seconds is one within a
// quarter of a minute, and pauses without end are one, too.
func TestRhythmIsLearned(t *testing.T) {
	k := Track(Unknown())
	each := func(k Tracker, dt float64, n int) Tracker {
		at := k.heard
		if k.n == 0 {
			at = 0
		}
		for range n {
			at += dt
			k.rhythm(at)
		}
		return k
	}
	k = each(k, 1, 30)
	assert.InDelta(t, 1, k.interval, 1e-9)
	assert.Less(t, each(k, 5, 1).interval, 1.5, "one pause")
	assert.Less(t, each(k, 3, 1).interval, 1.4, "one line that is late")
	slower := each(k, 2, 5)
	assert.True(t, slower.interval > 1.2 && slower.interval < 1.75, "%.2f", slower.interval)
	assert.Greater(t, each(k, 2, 15).interval, 1.8)
	assert.Less(t, each(k, 30, 1).interval, 1.6)
	assert.Greater(t, each(k, 30, 12).interval, 15.0)
}

// The readings of a meter that sends two and a half or ten times a second are joined to one a second,
// those of one that sends five in four seconds count each.
func TestReadingsOfAFastMeterAreJoined(t *testing.T) {
	for every, want := range map[float64]float64{0.1: 1, 0.4: 1.2, 0.8: 0.8, 1: 1} {
		k := Track(Unknown()).Resolve(0.001)
		for i := range int(60 / every) {
			k = k.Push(every*float64(i), 7)
		}
		n := len(k.recent)
		require.Greater(t, n, 5)
		assert.InDelta(t, want, (k.recent[n-1].t-k.recent[0].t)/float64(n-1), 0.15, "each %g s", every)
	}
}

// After somebody said that drops fall and none does the reading is at rest again after some
// readings, not after two or three; a slow electrode that is on its way takes one to two and a
// half of its time constants, lest slow drops be taken for its way.
func TestWhenAReadingIsAtRestAgain(t *testing.T) {
	rests := func(y func(t float64) float64) int {
		k := stood().Dose(90)
		for i := 1; i < 120; i++ {
			if k = k.Push(90+float64(i), y(float64(i))); !k.free {
				return i
			}
		}
		return 120
	}
	n := rests(level(5))
	assert.True(t, n >= 4 && n <= 9, "%d", n)
	n = rests(func(t float64) float64 { return math.Round(1000*(5.3-0.3*math.Exp(-t/20))) / 1000 })
	assert.True(t, n >= 20 && n <= 50, "%d", n)
}

// A rest is flat unless its slope is beyond what noise does in one case of eighty: the slope of
// a line through readings has a variance of σ²/Σ(t−t̄)².
func TestFlatIsWhatNoiseAllows(t *testing.T) {
	b := stood().bank
	sd := math.Sqrt(b.sum().noise)
	for q, flat := range map[float64]bool{0: true, 1.7: true, 3.5: false, -3.5: false} {
		r := rest{}
		norm := 0.0
		for i := -5; i <= 5; i++ {
			norm += float64(i * i)
		}
		for i := -5; i <= 5; i++ {
			r.later = append(r.later, obs{float64(i), 5 + q*sd/math.Sqrt(norm)*float64(i)})
		}
		assert.Equal(t, flat, r.flat(b), "%g standard errors", q)
	}
}

// What moves within seconds of "the electrode is in" is that; a quarter of a minute after it is
// something else.
func TestWhatMovesSoonAfterItWasPutIn(t *testing.T) {
	for after, open := range map[int]bool{7: false, 15: true} {
		k := stood().Immerse(90)
		k = pushed(k, 91, 90+after-1, level(5))
		k = pushed(k, 90+after, 140, level(5.6))
		require.NotEmpty(t, k.moves)
		assert.Equal(t, open, len(k.Moves()) > 0, "%d s after: %+v", after, k.moves)
	}
}

// Acid that has not mixed yet may turn a reading round by a tenth; a reading that comes to rest
// three tenths above where it was before acid was given is something else.
func TestAReadingThatTurnsRound(t *testing.T) {
	for rise, open := range map[float64]bool{0.13: false, 0.3: true} {
		k, _ := stood().Give(Addition{Seq: 1, T: 90, From: math.NaN(), Step: -0.02, SD: 0.01})
		k = pushed(k, 91, 95, level(5))
		k = pushed(k, 96, 150, level(5+rise))
		assert.Equal(t, open, len(k.Moves()) > 0, "%g: %+v", rise, k.moves)
	}
}

// A reading has come back when it is within a hundredth of where it was; two hundredths are a
// movement of a quiet meter.
func TestWhenAReadingHasComeBack(t *testing.T) {
	for by, back := range map[float64]bool{0: true, 0.009: true, 0.02: false} {
		k := pushed(Track(Unknown()).Resolve(0.001), 0, 300, level(5)).Dose(300)
		k = pushed(k, 301, 360, level(5+by))
		require.False(t, k.free)
		assert.Equal(t, back, len(k.Moves()) == 0, "%g", by)
	}
}

// With a rough sensor two of its standard deviations are no movement, by what is known of it
// some seconds after, and ten are.
func TestWhenARoughReadingHasComeBack(t *testing.T) {
	const noise = 0.02
	count := func(by float64) (back int) {
		for seed := range uint64(24) {
			r := rand.New(rand.NewPCG(seed, 6))
			y := func(l float64) float64 { return math.Round(1000*(l+noise*r.NormFloat64())) / 1000 }
			k := pushed(Track(Unknown()).Resolve(0.001), 0, 60, func(float64) float64 { return y(5) }).Dose(60)
			for i := 61; k.free && i < 150; i++ {
				k = k.Push(float64(i), y(5+by))
			}
			if len(k.Moves()) == 0 {
				back++
			}
		}
		return back
	}
	still, moved := count(2*noise), count(10*noise)
	t.Logf("back %d and %d of 24", still, moved)
	assert.GreaterOrEqual(t, still, 21)
	assert.LessOrEqual(t, moved, 9)
}

// What is known of before a movement is without the readings that its first drops may have bent, and with
// the others: after six readings of a beaker its value is known.
func TestSomeReadingsAreEnoughBefore(t *testing.T) {
	k := pushed(Track(Unknown()).Resolve(0.001), 0, 6, level(5)).Dose(6)
	require.Len(t, k.moves, 1)
	assert.Less(t, k.moves[0].Before.SD, 0.1, "%+v", k.moves[0].Before)
}

// While drops fall that move the reading by three hundredths a second it is not called at rest, but for
// one second in twenty-five, where they happen to look like the way of an electrode.
func TestDropsThatFallAreNoRest(t *testing.T) {
	rests := 0
	for seed := range uint64(15) {
		r := rand.New(rand.NewPCG(seed, 4))
		pool, shows, at := 5.0, 5.0, 0.0
		k := Track(Unknown()).Resolve(0.001)
		push := func(drop float64) {
			at, pool = at+1, pool+drop
			shows += (pool - shows) * -math.Expm1(-1.0/3)
			k = k.Push(at, math.Round(1000*(shows+0.004*r.NormFloat64()))/1000)
		}
		for range 90 {
			push(0)
		}
		k = k.Dose(at)
		for range 60 {
			if push(0.03); !k.free {
				rests++
			}
		}
	}
	t.Logf("%d of 900 s", rests)
	assert.LessOrEqual(t, rests, 36)
}

// Of a meter that nobody knows the noise is known as by some four readings: after the first reading
// one that is 15 standard deviations off may yet be noise and one that is 60 off is not. Student's
// t of four degrees of freedom lies beyond t with a chance of 1 − u(3 − u²)/2, u = t/√(t² + 4): once
// in 8,700 and once in 2.2 million.
func TestASecondReadingMayBeOff(t *testing.T) {
	e := Unknown()
	g := gate(2 * open(&e, 0, 7, 0.001).firmness())
	assert.True(t, g > 15 && g < 60, "%.1f", g)
}

// That the beaker rests since a second is given up when the readings speak against it by hundreds to
// one, and not by tens to one, which chance does.
func TestARestThatTheReadingsSpeakAgainst(t *testing.T) {
	for odds, stays := range map[float64]bool{40: true, 1000: false} {
		k := pushed(stood().Dose(90), 91, 94, level(5))
		require.NotNil(t, k.rest)
		since := k.rest.since
		k.rest.gain = -math.Log(odds)
		k = k.Push(95, 5)
		require.NotNil(t, k.rest)
		assert.Equal(t, stays, k.rest.since == since, "%g to one: %+v", odds, k.rest.gain)
	}
}
