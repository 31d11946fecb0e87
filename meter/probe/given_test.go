package probe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func stood() Tracker { return pushed(Track(Unknown()).Resolve(0.001), 0, 90, level(5)) }

// Who says how long an addition took says when it began; a third of a second is no time in
// which drops fall.
func TestAnAdditionThatHasABeginning(t *testing.T) {
	for ago, told := range map[float64]bool{0.3: false, 0.9: true, 5: true} {
		k, _ := stood().Give(Addition{Seq: 1, T: 90, From: 90 - ago, Step: 0.1, SD: 0.01})
		if told {
			require.Len(t, k.moves, 1, "%g s", ago)
			assert.True(t, k.moves[0].Told)
		} else {
			assert.Empty(t, k.moves, "%g s", ago)
		}
	}
}

// A movement that seems to have gone back belongs to an addition that can have begun with it:
// drops as many as 20 s take fall in half as long again, and are said some seconds later.
func TestWhenTheFirstDropCanHaveFallen(t *testing.T) {
	for _, c := range []struct {
		take, ago float64
		its       bool
	}{{20, 25, true}, {20, 36, true}, {20, 48, false}, {0, 8, true}, {0, 14, false}} {
		k := stood()
		k.moves = []Move{{From: 90 - c.ago, To: 85, Rested: 88, Back: true, Before: k.Estimate(60)}}
		k, g := k.Give(Addition{Seq: 1, T: 90, From: math.NaN(), Step: 0.1, SD: 0.01, Take: c.take})
		if c.its {
			assert.Equal(t, int64(1), k.moves[0].Owner, "%+v", c)
			assert.Equal(t, 90-c.ago, g.From)
		} else {
			assert.Zero(t, k.moves[0].Owner, "%+v", c)
		}
	}
}

// Where nothing shows of an addition when it is said, it may do nothing and may do three times
// what was expected, and one that was expected to do nothing may do some hundredths.
func TestWhatAnAdditionMayDo(t *testing.T) {
	for _, step := range []float64{0.2, -0.5} {
		k, _ := stood().Give(Addition{Seq: 1, T: 90, From: math.NaN(), Step: step, SD: 0.001})
		e := k.Estimate(90)
		assert.InDelta(t, 5+step, e.End, 0.01)
		for _, to := range []float64{5, 5 + 3*step} {
			z := math.Abs(to-e.End) / e.SD
			assert.True(t, z > 0.3 && z < 1.2, "%g is %.2f of the spreads away", to, z)
		}
	}
	k, _ := stood().Give(Addition{Seq: 1, T: 90, From: math.NaN()})
	sd := k.Estimate(90).SD
	assert.True(t, sd > 0.035 && sd < 0.08, "%.3f", sd)
}

// Drops that have begun to show when somebody says that they are in are those: the reading has
// left what was foretold by three of its standard deviations. By a little more than one it is
// noise.
func TestDropsThatHaveBegunToShow(t *testing.T) {
	for z, shows := range map[float64]bool{1.3: false, 3: true} {
		k := stood().Await(1)
		mean, v := k.ahead(k.ref, 91, wander).expect(5)
		k = k.Push(91, mean+(z+awaitLet)*math.Sqrt(v))
		require.InDelta(t, z, k.first.sum, 0.05)
		k, _ = k.Give(Addition{Seq: 1, T: 92, From: math.NaN(), Step: 0.1, SD: 0.01})
		assert.Equal(t, shows, len(k.moves) == 1, "%g", z)
	}
}

// What moves the reading a quarter of a minute after an addition was said is that addition;
// half a minute after it, it is asked about. Where the meter said nothing meanwhile, what moves
// it within seconds of its first line is the addition still.
func TestHowLongAnAdditionExplainsWhatMoves(t *testing.T) {
	for _, c := range []struct {
		silent, after int // s without a line, and from there until it moves
		its           bool
	}{{0, 15, true}, {0, 30, false}, {60, 6, true}, {60, 16, false}} {
		k, _ := stood().Give(Addition{Seq: 1, T: 90, From: math.NaN(), Step: 0.02, SD: 0.01})
		from := 91 + c.silent
		at := from + c.after
		k = pushed(k, from, at-1, level(5))
		k = pushed(k, at, at+25, func(t float64) float64 { return 5 - 0.5*math.Exp(-(t-float64(at))/3) + 0.5 })
		require.NotEmpty(t, k.moves)
		assert.Equal(t, c.its, len(k.Moves()) == 0, "%+v: %+v", c, k.moves)
	}
}

// A movement faster than what is known of the electrode may lead on far: as far as there are
// beakers, and not as far as the slowest electrode would be carried.
func TestNoBeakerIsFartherThanTheScale(t *testing.T) {
	k := stood()
	b := k.bank.spread().placed(1, 0.5, 0, false)
	most := 0.0
	for i := range b.nodes {
		most = math.Max(most, math.Sqrt(b.nodes[i].p[xEnd][xEnd]))
	}
	assert.LessOrEqual(t, most, 8.0)
	e := Unknown()
	b = open(&e, 0, 7, 0.01).placed(1, 0.5, 0, false)
	for i := range b.nodes {
		most = math.Max(most, math.Sqrt(b.nodes[i].p[xEnd][xEnd]))
	}
	assert.True(t, most > 4 && most < 8, "%.1f: from 7 to either end of what is titrated", most)
}

// Of an addition whose first drop was told the rest is still to come where little of it has
// shown when it is said: on a meter that sends each half a minute, nothing. Where most of it
// has shown, what was read counts.
func TestWhatIsStillToComeOfAnAdditionThatWasTold(t *testing.T) {
	k := Track(Unknown()).Resolve(0.01)
	for at := 0.0; at <= 300; at += 30 {
		k = k.Push(at, 5)
	}
	told := k.Dose(310)
	assert.Less(t, told.moves[0].Before.SD, 0.1, "all readings until then are of before")
	k, g := told.Give(Addition{Seq: 1, T: 316, From: math.NaN(), Step: 0.8, SD: 0.1})
	assert.InDelta(t, 5, g.Before.End, 0.02)
	e := k.Estimate(316)
	assert.InDelta(t, 5.8, e.End, 0.05)
	assert.Greater(t, e.SD, 0.5, "or it does nothing, or twice as much")
	k = k.Push(330, 5.79).Push(360, 5.80)
	e = k.Estimate(360)
	assert.InDelta(t, 5.8, e.End, 0.05)
	assert.Less(t, e.SD, 0.1)

	for shown, part := range map[float64]float64{5.24: 0.8, 5.50: 0.50} { // 30 and 62 % of it
		k = stood().Dose(90)
		for at := 91.0; at < 110; at++ {
			k = k.Push(at, shown-(shown-5)*math.Exp((90-at)/2))
		}
		k, _ = k.Give(Addition{Seq: 1, T: 110, From: math.NaN(), Step: 0.8, SD: 0.05})
		assert.InDelta(t, 5+part, k.Estimate(110).End, 0.1, "%.2f", shown)
	}
}
