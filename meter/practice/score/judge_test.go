package score

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/replay/replaytest"
)

// The figures of the score are choices of this project, and so are those below: each holds
// what a pupil is told in words, that asking costs, that one addition more is free. Whole
// runs are judged in practice/score_test.go.

// judging is a judge of an exercise on paper, in which 10 mmol of buffer stand in the beaker
// and one addition after the other was made, each as the coach had advised unless it says
// otherwise. The buffer came out in tolerance.
func judging(t *testing.T, steps ...replay.Step) *judge {
	t.Helper()
	e, err := practice.Find("first-buffer")
	require.NoError(t, err)
	x := *e
	x.Bench.Contents = []practice.Content{{Reagent: "MOPS", MMol: 10}}
	first, err := practice.Start(&x, practice.Slip{Exercise: x.Name, Seed: 1, Coach: practice.Full}, time.Unix(0, 0), "test", "")
	require.NoError(t, err)
	ph := 7.0
	r, err := replaytest.Of([]journal.Event{first, {Seq: 2, At: time.Unix(10, 0), T: 10, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2}}})
	require.NoError(t, err)
	c := &practice.Course{Start: 6}
	c.Stops = grown(c.Stops, len(steps))
	for i := range steps {
		steps[i].Seq, steps[i].N = int64(i+1), i+1
		if steps[i].T == 0 {
			steps[i].T = 100 * float64(i+1)
		}
		c.Stops[i].Seq, c.Stops[i].T, c.Stops[i].InUse = steps[i].Seq, steps[i].T, 7.2
	}
	return &judge{e: &x, slip: practice.Slip{Coach: practice.Full, Speed: 1}, run: r, view: replay.Review{Steps: steps, Ended: true, Read: &replay.Reading{}}, c: c,
		res: &Result{Target: 7.2, Final: 7.2, Tolerance: 0.02, In: true, Coach: practice.Full}}
}

// grown is a list with so many zero values more.
func grown[T any](list []T, n int) []T { return append(list, make([]T, n)...) }

// told is so much of a bottle, as it was advised.
func told(titrant string, ml float64) replay.Step {
	return replay.Step{Titrant: titrant, ML: ml, Before: replay.Standing{Settled: true}, Advised: journal.Advice{Do: "add", Titrant: titrant, ML: ml}}
}

// own is so much of a bottle, where the coach would have waited.
func own(titrant string, ml float64) replay.Step {
	s := told(titrant, ml)
	s.Advised = journal.Advice{Do: "wait"}
	return s
}

const base, weak, acid = "NaOH 1 M", "NaOH 0.1 M", "HCl 0.1 M"

// In tolerance is all of the aim; within twice of it a part, unless the meter at rest showed
// the aim and needed no calibration of the pupil's; half of the last digit is for the meter.
func TestAim(t *testing.T) {
	for _, c := range []struct {
		off                  float64
		in, shown, calibrate bool
		share                float64
	}{
		{0.01, true, true, false, 1}, {0.044, false, true, false, 1}, {0.044, false, false, false, 0.3}, {0.044, false, true, true, 0.3}, {0.046, false, true, false, 0},
	} {
		j := judging(t, told(base, 1))
		j.res.Final, j.res.In, j.view.InAim = 7.2+c.off, c.in, c.shown
		if c.calibrate {
			j.e.Calibrate = &practice.Calibrate{}
		}
		assert.InDelta(t, c.share, j.aim().share, 1e-9, "%+v", c)
	}
	j := judging(t)
	j.res.In = false
	assert.Equal(t, nothing, j.aim())
}

// Each passage that is the pupil's own takes half; what the coach would have given is free.
func TestOvershoots(t *testing.T) {
	passed := func(seqs ...int64) (out []practice.Passage) {
		for _, seq := range seqs {
			p := practice.Passage{Past: 0.1}
			p.Seq = seq
			out = append(out, p)
		}
		return out
	}
	for _, c := range []struct {
		seqs  []int64
		share float64
	}{{nil, 1}, {[]int64{1}, 1}, {[]int64{2}, 0.5}, {[]int64{1, 2, 3}, 0}} {
		j := judging(t, told(base, 1), own(base, 1), own(base, 1))
		j.res.passed = passed(c.seqs...)
		assert.InDelta(t, c.share, j.overshoot().share, 1e-9, "%v", c.seqs)
	}
}

// An addition that the coach was asked about is worth 15 % of one that it was not.
func TestAskingCosts(t *testing.T) {
	for asked, left := range map[int]float64{0: 1, 1: 0.7875, 2: 0.575, 4: 0.15, 9: 0.15} {
		j := judging(t, told(base, 1), told(base, 1), told(base, 1), told(base, 1))
		j.res.Asked = asked
		assert.InDelta(t, left, j.unasked(), 1e-9, "%d of 4", asked)
		assert.InDelta(t, left, j.overshoot().share, 1e-9, "it goes into what the additions are worth")
		assert.InDelta(t, left, j.waiting().share, 1e-9)
	}
}

// One addition more than the better of the two peers is free; each more takes a part of what
// they needed, a quarter at most. Those given as advised cost nothing, a part of one does.
func TestFewAdditions(t *testing.T) {
	for _, c := range []struct {
		own, limit, coached int
		share               float64
	}{{3, 3, 2, 1}, {4, 3, 2, 1}, {5, 3, 2, 0.75}, {6, 3, 2, 0.5}, {8, 3, 2, 0}, {9, 1, 6, 1 - 2.0/6}} {
		j := judging(t, repeated(own(base, 1), c.own)...)
		j.res.Limit.Additions, j.res.Coached.Additions = c.limit, c.coached
		assert.InDelta(t, c.share, math.Max(0, j.additions().share), 1e-9, "%+v", c)
	}
	j := judging(t, repeated(told(base, 1), 9)...)
	assert.InDelta(t, 1, j.additions().share, 1e-9, "as told")
	part := func(of float64) float64 {
		s := told(base, 1)
		s.ML = of
		return judging(t, repeated(s, 3)...).additions().share
	}
	assert.InDelta(t, 1, part(0.61), 1e-9)
	assert.InDelta(t, 0.5, part(0.59), 1e-9, "three, of which none is what was advised")
}

func repeated(s replay.Step, n int) (out []replay.Step) {
	for range n {
		out = append(out, s)
	}
	return out
}

// An addition fell on a reading on its way where the meter had more before it than half of
// the tolerance and 15 % of the way left; half of them hasty take all.
func TestWaiting(t *testing.T) {
	hasty := func(ahead, rest float64) bool {
		s := own(base, 1)
		s.Before = replay.Standing{Shown: 6.9, Aim: 7.2}
		j := judging(t, s)
		j.c.Stops[0].Ahead, j.c.Stops[0].Rest = ahead, rest
		return j.hasty(j.view.Steps[0])
	}
	assert.False(t, hasty(0.009, 7.2))
	assert.True(t, hasty(0.011, 7.2), "half of ± 0.02")
	assert.False(t, hasty(0.14, 6.2), "15 % of 1.0 is 0.15")
	assert.True(t, hasty(0.16, 6.2))
	for n, share := range map[int]float64{0: 1, 1: 0.5, 2: 0} {
		steps := repeated(own(base, 1), 4)
		for i := range n {
			steps[i].Before = replay.Standing{Shown: math.NaN()}
		}
		assert.InDelta(t, share, judging(t, steps...).waiting().share, 1e-9, "%d of 4", n)
	}
}

// Time is free up to twice what the slower of the peers needed, adding included at ten
// seconds of the wall for each; at six times that nothing is left. It counts from the first
// reading.
func TestTime(t *testing.T) {
	for seconds, share := range map[float64]float64{10 + 2*140: 1, 10 + 4*140: 0.5, 10 + 6*140: 0} {
		j := judging(t, told(base, 1))
		j.res.Limit, j.res.Coached = practice.Peer{Additions: 1, Seconds: 60}, practice.Peer{Additions: 2, Seconds: 100} // 100 s and four times ten
		j.res.Seconds = seconds
		assert.InDelta(t, share, j.time().share, 1e-9, "%g s", seconds)
	}
	j := judging(t, told(base, 1))
	j.res.Coached, j.slip.Speed, j.res.Seconds = practice.Peer{Additions: 2, Seconds: 100}, 3, 10+4*220 // the wall goes three times as slow
	assert.InDelta(t, 0.5, j.time().share, 1e-9)
}

// Two per cent of the buffer as salt are free, thirty take all; on the way back two are free
// and each per cent beyond takes a thirtieth.
func TestSalt(t *testing.T) {
	for waste, want := range map[float64][2]float64{0.1: {1, 1}, 0.2: {1, 1}, 1.6: {0.5, 1 - 0.14/0.3}, 3: {0, 1 - 0.28/0.3}} { // mmol of 10
		j := judging(t, told(base, waste), told(acid, 10*waste), told(base, 0.001))
		m := j.salt()
		assert.InDelta(t, want[0], math.Min(1, m.share), 1e-4, "%g mmol", waste)
		assert.InDelta(t, 200, m.t, 1e-9, "where it turned")
		assert.InDelta(t, want[1], math.Min(1, j.back().share), 1e-4, "%g mmol", waste)
	}
	j := judging(t, told(base, 1))
	assert.InDelta(t, 1, j.salt().share, 1e-9)
}

// The record may say a tenth more or less than fell.
func TestRecord(t *testing.T) {
	for lost, share := range map[float64]float64{0.09: 1, 0.11: 0} {
		j := judging(t, told(base, 1), told(base, lost))
		j.c.Doses = map[int64]journal.Addition{1: {Titrant: base, ML: 1}, 2: {Titrant: base, ML: lost}}
		j.c.Lost = map[int64]bool{2: true}
		assert.InDelta(t, share, j.record().share, 1e-9, "%g of 1 mL missed the beaker", lost)
	}
	j := judging(t, told(base, 1))
	for _, c := range []struct {
		ended, rest, in bool
		share           float64
	}{{true, true, true, 1}, {false, true, true, 0.3}, {true, false, true, 0.5}, {true, true, false, 0.6}} {
		j.view.Ended, j.view.Read, j.res.In, j.c.Ahead = c.ended, nil, c.in, 1
		if c.rest {
			j.view.Read = new(replay.Reading)
		}
		j.res.Final = 8
		assert.InDelta(t, c.share, j.record().share, 1e-9, "%+v", c)
	}
	j.view.Ended, j.view.Read, j.res.In, j.c.Ahead = true, nil, true, 0.009
	assert.InDelta(t, 1, j.record().share, 1e-9, "within half of the tolerance it was at rest in truth")
}

// The bottle is right that leads to the aim and is as strong as what is left allows: too
// strong is half as bad as too weak or the wrong way.
func TestBottle(t *testing.T) {
	advised := func(titrant, instead string, drops float64) replay.Step {
		s := told(titrant, 1)
		s.Advised = journal.Advice{Do: "add", Titrant: instead, Drops: drops}
		return s
	}
	for _, c := range []struct {
		step  replay.Step
		share float64
	}{
		{told(base, 1), 1}, {own(base, 1), 1}, {own(acid, 1), 0}, {advised(base, weak, 5), 0.5}, {advised(weak, base, 5), 0},
		{advised(weak, base, 3), 1}, // of the strong one it would have been hardly anything
		{advised(base, acid, 5), 1},
	} {
		assert.InDelta(t, c.share, judging(t, c.step).bottle().share, 1e-9, "%s for %s", c.step.Titrant, fmt.Sprint(c.step.Advised.Titrant))
	}
}

// What is left of an item that counts only with the buffer in tolerance.
func TestUnfinished(t *testing.T) {
	j := judging(t, told(base, 1))
	j.res.In, j.res.Final = false, 7.3
	for _, m := range []mark{j.additions(), j.time(), j.salt(), j.back()} {
		assert.Zero(t, m.share)
		assert.Equal(t, KeepFinishing, m.keep)
	}
}

// Beside the coach: up to a tenth more and down to six tenths is what it said.
func TestCompare(t *testing.T) {
	for ml, verdict := range map[float64]string{0.59: "less than was safe", 0.61: "as the coach", 1.09: "as the coach", 1.5: "1.5 × what was safe", 20: "20 × what was safe"} {
		s := told(base, 1)
		s.ML = ml
		j := judging(t, s)
		j.compare()
		assert.Equal(t, verdict, j.res.Compare[0].Verdict, "%g", ml)
	}
}
