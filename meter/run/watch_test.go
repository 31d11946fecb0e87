package run_test

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// shown lets a meter of three decimals show ph for some seconds, with noise, and
// gives the views.
func (b *bench) shown(ph, noise float64, n int) (views []view.View) {
	b.t.Helper()
	r := rand.New(rand.NewPCG(uint64(n), 7))
	for range n {
		b.sec++
		y := math.Round(1000*(ph+noise*r.NormFloat64())) / 1000
		require.NoError(b.t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 3}}))
		views = append(views, b.keep.Look(b.sec))
	}
	return views
}

func dos(views []view.View) (out map[coach.Action]int) {
	out = map[coach.Action]int{}
	for _, v := range views {
		out[v.Advice.Do]++
	}
	return out
}

// after is a bench on which one advised addition has been made and has settled.
func after(t *testing.T) (*bench, view.View) {
	t.Helper()
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	v := b.order()
	b.add(v.Titrant, v.Advice.Drops)
	return b, b.order()
}

// order lets seconds pass until something is to be added.
func (b *bench) order() (v view.View) {
	b.t.Helper()
	for range 150 {
		if v = b.second(); v.Advice.Do == coach.Add {
			return v
		}
		require.NotEqual(b.t, coach.Check, v.Advice.Do, v.Sentence())
	}
	require.Fail(b.t, "no order", v.Why())
	return v
}

// reasons are what the views say, in order, each once.
func reasons(views []view.View) (out []coach.Reason) {
	for _, v := range views {
		if n := len(out); n == 0 || out[n-1] != v.Advice.Reason {
			out = append(out, v.Advice.Reason)
		}
	}
	return out
}

// The electrode is lifted out and put back: no addition meanwhile, and the run
// goes on by itself with what it knew.
func TestReadingLeavesByItselfAndComesBack(t *testing.T) {
	b, was := after(t)
	away := b.shown(was.PH+1.5, 0.003, 60) // acid is ordered: it is not that
	assert.Zero(t, dos(away[2:])[coach.Add], "nothing is added on a reading that left by itself")
	last := away[len(away)-1]
	assert.Equal(t, coach.Unsaid, last.Advice.Reason)
	assert.Contains(t, last.Why(), "the wrong way")
	assert.Contains(t, last.Why(), "i: the electrode was out")
	back := b.shown(was.PH, 0.003, 15)
	assert.Equal(t, coach.Add, back[len(back)-1].Advice.Do, "it goes on by itself: %v", reasons(back))
	assert.InDelta(t, was.Settling.End, back[len(back)-1].Settling.End, 0.025)
}

// A reading that goes where the order leads is its doing until somebody says
// otherwise: it stands as it was, and is asked about. So far off, the number it
// looks like is said.
func TestReadingLeavesWhereTheOrderLeads(t *testing.T) {
	b, was := after(t)
	away := b.shown(was.PH-1.5, 0.003, 60)
	for _, v := range away {
		assert.Equal(t, was.Advice.Drops, v.Advice.Drops, v.Sentence())
		assert.Contains(t, []coach.Reason{was.Advice.Reason, coach.Dosing, coach.Unsaid}, v.Advice.Reason)
	}
	last := away[59]
	require.Equal(t, coach.Unsaid, last.Advice.Reason)
	assert.Greater(t, last.Falling.Like, 2*was.Advice.Drops)
	back := b.shown(was.PH, 0.003, 15)
	assert.NotEqual(t, coach.Unsaid, back[14].Advice.Reason, "it was the electrode")
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Declined}))
	back = b.shown(was.PH, 0.003, 15)
	assert.Equal(t, coach.Add, back[14].Advice.Do, "%v", reasons(back))
}

// A slow electrode that is lifted out moves little by little: nothing is added
// on any of that, although no reading by itself is far off.
func TestNothingIsAddedWhileTheReadingLeaves(t *testing.T) {
	b, was := after(t)
	for i := range 60 {
		v := b.shown(was.PH+1.2*(1-math.Exp(-float64(i)/25)), 0.002, 1)[0]
		if i >= 4 {
			assert.NotEqual(t, coach.Add, v.Advice.Do, "%d s: %s", i, v.Sentence())
		}
	}
	v := b.shown(was.PH+0.10, 0.002, 1)[0]
	assert.NotEqual(t, coach.Add, v.Advice.Do)
}

// Drops are often keyed in when the reading has long come to rest, after the
// first order or a later one.
func TestAdditionKeyedLate(t *testing.T) {
	for name, begin := range map[string]func() (*bench, view.View){
		"later": func() (*bench, view.View) { return after(t) },
		"first": func() (*bench, view.View) {
			b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
			return b, b.order()
		},
	} {
		t.Run(name, func(t *testing.T) {
			b, was := begin()
			require.NoError(t, b.sim.Dispense(was.Titrant, was.Advice.Drops, 0))
			from := b.sec
			late := b.seconds(50)
			require.Equal(t, coach.Unsaid, late.Advice.Reason)
			assert.Contains(t, late.Sentence(), "GIVEN? ")
			a, err := b.keep.State.Addition(was.Titrant, was.Advice.Drops, 0)
			require.NoError(t, err)
			require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &a}))
			e, ok := b.keep.State.Latest()
			require.True(t, ok)
			assert.InDelta(t, was.Settling.End, e.Before.End, 0.02, "the reading before it is the one before it fell")
			assert.InDelta(t, from, e.From, 4, "it has the time at which it began to show")
			v := b.seconds(20)
			assert.NotEqual(t, coach.Check, v.Advice.Do, v.Sentence())
			assert.InDelta(t, b.sim.True(), v.Settling.End, 3*v.Settling.SD+0.01)
		})
	}
}

// At the start the electrode comes out of its bottle: no fault, and no long wait.
func TestElectrodePutIntoTheBeaker(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	b.shown(6.9, 0.003, 60)
	views := b.shown(10.06, 0.003, 15)
	assert.Zero(t, dos(views[2:])[coach.Check], "two readings may be wild ones; what was asked before them is asked still")
	assert.InDelta(t, 10.06, views[14].Settling.End, 0.02)
	assert.Equal(t, coach.Add, views[14].Advice.Do, views[14].Why())
	for _, v := range b.shown(10.06, 0.003, 30) {
		assert.Equal(t, views[14].Advice.Drops, v.Advice.Drops, "and stays so: %s", v.Sentence())
	}
}

// A meter that freezes in the middle of an approach looks settled there.
func TestFrozenOnTheWay(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	v := b.order()
	b.add(v.Titrant, v.Advice.Drops)
	v = b.seconds(8)
	var frozen []view.View
	for range 60 {
		b.sec++
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &v.PH, Decimals: v.Decimals}}))
		frozen = append(frozen, b.keep.Look(b.sec))
	}
	last := frozen[59]
	assert.Zero(t, dos(frozen[10:])[coach.Add])
	assert.Equal(t, coach.Check, last.Advice.Do)
	assert.Equal(t, "CHECK the reading does not move, and should", last.Sentence())
	assert.Contains(t, last.Why(), "hold")
	v = b.seconds(40)
	assert.NotEqual(t, coach.Check, v.Advice.Do, "it goes on by itself: %s, %s", v.Sentence(), v.Why())
}

// A small addition that nothing answers.
func TestStandsStillAfterASmallAddition(t *testing.T) {
	b, was := after(t)
	b.shown(was.PH, 0, 5)
	a, err := b.keep.State.Addition("acid", 8, 0)
	require.NoError(t, err)
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &a}))
	views := b.shown(was.PH, 0, 40)
	assert.Equal(t, coach.Check, views[39].Advice.Do, views[39].Sentence())
	require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Confirmed}))
	if v := b.shown(was.PH, 0, 2)[1]; v.Advice.Do == coach.Check {
		assert.NotEqual(t, coach.Stuck, v.Advice.Reason, "a person has looked")
	}
}

// A steady meter is not stuck: two decimals stand still for minutes.
func TestSteadyIsNotStuck(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	views := b.shown(10.4, 0, 300)
	assert.Zero(t, dos(views)[coach.Check])
	assert.Equal(t, coach.Add, views[299].Advice.Do)
}

// Between two readings of a meter nothing stands still: the advice does not
// come and go with the looks.
func TestAdviceDoesNotFlickerBetweenReadings(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	changes, last := 0, coach.Wait
	for i := range 120 {
		at := float64(i) / 2
		y := math.Round(1000*(10.4-0.5*math.Exp(-at/8)-0.03*math.Exp(-at/40))) / 1000
		require.NoError(t, b.keep.Take(journal.Event{T: at, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 3}}))
		for _, later := range []float64{0, 0.1, 0.2, 0.3, 0.4, 0.49} {
			if do := b.keep.Look(at + later).Advice.Do; do != last {
				changes, last = changes+1, do
			}
		}
	}
	assert.LessOrEqual(t, changes, 3)
	assert.Equal(t, coach.Add, last)
}

// While drops fall the beaker is drawn where the meter shows it: where it will end is
// anybody's guess then.
func TestAMovingReadingIsDrawnWhereItIs(t *testing.T) {
	b, was := after(t)
	dir := -1.0 // acid is ordered
	for i := range 25 {
		ph := was.PH + dir*0.05*float64(i)
		v := b.shown(ph, 0.002, 1)[0]
		if v.Settling.State == probe.Moving {
			require.InDelta(t, ph, v.Points[len(v.Points)-1].PH, 0.02, "%d s, end %.2f", i, v.Settling.End)
			return
		}
	}
	t.Fatal("it was never seen to move")
}

// The first order stands, and the reading goes far the other way: another bottle, or the
// electrode was taken out. It was taken for an electrode that is put in, since nothing was
// added yet, and the next order came on the reading that nobody had explained.
func TestTheFirstOrderIsAnsweredTheOtherWay(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	was := b.order()
	away := b.shown(was.PH+1.5, 0.003, 60) // acid is ordered
	assert.Zero(t, dos(away[2:])[coach.Add])
	assert.Equal(t, coach.Unsaid, away[len(away)-1].Advice.Reason)
}

// A meter that sends a line in thirty seconds: the first after an addition, which is held
// until another agrees, is no reading that stands still.
func TestAJumpThatIsHeldIsNotStuck(t *testing.T) {
	w := walking(t, 7.2)
	say := func(at, ph float64) view.View {
		w.sec = at
		require.NoError(t, w.keep.Take(journal.Event{T: at, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2}}))
		return w.keep.Look(at)
	}
	for i := range 5 {
		say(30+30*float64(i), 4.5)
	}
	a, err := w.keep.State.Addition("NaOH 1 M", 30, 0)
	require.NoError(t, err)
	require.NoError(t, w.keep.Take(journal.Event{T: 158, Kind: journal.Added, Added: &a}))
	for i, ph := range []float64{6.6, 6.63, 6.64} {
		v := say(180+30*float64(i), ph)
		assert.NotEqual(t, coach.Stuck, v.Advice.Reason, "%g: %s", ph, v.Sentence())
	}
}
