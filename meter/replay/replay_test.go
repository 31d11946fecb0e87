package replay_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/trial"
)

// coachedRun is a run in which the coach was followed, with every advice given.
func coachedRun(t *testing.T, seed uint64) *clumsy {
	t.Helper()
	b, err := trial.Draw(trial.Harsh, seed)
	require.NoError(t, err)
	c := newClumsy(t, b, seed, hands.AtOnce)
	c.coached(20)
	c.wait(30)
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Ended, End: &journal.End{Outcome: "left"}}))
	return c
}

// written is the events as a journal file holds them.
func written(t *testing.T, events []journal.Event) []byte {
	t.Helper()
	s := &replaytest.Sheet{}
	w := journal.NewWriter(s)
	for _, e := range events {
		require.NoError(t, w.Append(&e))
	}
	return s.Bytes()
}

// From the simulator through the journal's file and back: every advice that
// was given is given again, bit for bit.
func TestSameAdviceBitForBit(t *testing.T) {
	advised := 0
	for seed := uint64(1); seed <= 3; seed++ {
		c := coachedRun(t, seed)
		r, err := replay.Read(bytes.NewReader(written(t, c.log.Events)))
		require.NoError(t, err)
		require.Equal(t, len(c.log.Events)-1, r.Len())
		for i := range r.Len() {
			e := r.Event(i)
			if e.Kind != journal.Advised {
				continue
			}
			advised++
			s := r.At(i)
			require.Equal(t, *e.Advice, s.Look(e.T).Record(), "seed %d, event %d", seed, e.Seq)
		}
	}
	t.Logf("%d advices compared", advised)
	assert.Greater(t, advised, 12)
}

// Any state reached by a jump is the one that folding from the start reaches.
func TestJumpIsTheFold(t *testing.T) {
	r, err := replay.Read(bytes.NewReader(longRun(9000)))
	require.NoError(t, err)
	s, err := run.Open(r.First)
	require.NoError(t, err)
	rnd := rand.New(rand.NewPCG(1, 1))
	for i := range r.Len() {
		if rnd.IntN(500) == 0 || i%2048 < 2 {
			got, want := r.At(i), s
			require.Equal(t, want.T, got.T)
			require.Equal(t, picture(want), picture(got), "after %d events", i)
		}
		s, err = run.Step(s, r.Event(i))
		require.NoError(t, err)
	}
	assert.Equal(t, picture(s), picture(r.At(r.Len()+99)), "past the end is the end")
	assert.Equal(t, 0.0, r.At(-5).T)
}

// picture is a view as text, in which NaN equals NaN.
func picture(s run.State) string {
	v := s.Look(s.T)
	offer := v.Offer
	v.Offer = nil // a pointer is not what it points at
	return fmt.Sprintf("%+v %+v", v, offer)
}

func TestFind(t *testing.T) {
	r, err := replaytest.Of(coachedRun(t, 2).log.Events)
	require.NoError(t, err)
	for _, at := range []float64{0, 0.5, 7, 31.2, r.Seconds() - 1} {
		n := r.Find(at)
		assert.LessOrEqual(t, r.Time(n), at)
		if n < r.Len() {
			assert.Greater(t, r.Time(n+1), at)
		}
		assert.InDelta(t, at, r.Wall(at).Sub(dawn).Seconds(), 1e-6)
	}
	assert.Equal(t, r.Len(), r.Find(1e9))
}

func TestTornAndDamaged(t *testing.T) {
	data := longRun(300)
	r, err := replay.Read(bytes.NewReader(data[:len(data)-20]))
	require.NoError(t, err)
	assert.True(t, r.Tail.Torn())
	assert.NotEmpty(t, r.Review().Lost)

	bad := bytes.Clone(data)
	bad[len(bad)/2] ^= 1
	path := filepath.Join(t.TempDir(), "run.jsonl")
	require.NoError(t, os.WriteFile(path, bad, 0o600))
	r, err = replay.Open(path)
	require.NoError(t, err, "the sound part is opened")
	assert.True(t, r.Damaged())
	assert.Contains(t, r.Review().Lost, "the journal is damaged at line ")
	assert.Greater(t, r.Len(), 100)

	_, err = replay.Read(bytes.NewReader(nil))
	assert.ErrorIs(t, err, journal.ErrStart)
}

// A run in which nothing was read and nothing added is no reason to fail.
func TestEmptyRun(t *testing.T) {
	c := coachedRun(t, 1)
	r, err := replaytest.Of(c.log.Events[:1])
	require.NoError(t, err)
	v := r.Review()
	assert.Empty(t, v.Steps)
	assert.Empty(t, v.Over)
	_, err = json.Marshal(v)
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, v.WriteText(&out))
	assert.Regexp(t, `\ntarget pH \d\.\d\d ± [0-9.]+ (at [0-9.]+ °C, aim \d\.\d\d on the meter|in the beaker as it is)`, out.String(), "target and aim as the screen has them")
	assert.Contains(t, out.String(), "nothing was added")
}

// What was corrected or withdrawn counts in the review as it was in the end,
// and the first entry stays visible.
func TestReviewShowsCorrections(t *testing.T) {
	b, err := trial.Draw(trial.Ordinary, 2)
	require.NoError(t, err)
	c := newClumsy(t, b, 2, hands.AtOnce)
	c.settle()
	c.give(coarse, 6)
	fix, err := propose.Correction(c.keep.State, journal.Correction{To: journal.Addition{Drops: 7}, Reason: "miscounted"})
	require.NoError(t, err)
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Corrected, Correct: &fix}))
	c.wait(40)
	c.give(weak, 3)
	last, _ := c.keep.State.Latest()
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Undone, Undo: &journal.Undo{Seq: last.Seq, Reason: "it was water"}}))
	c.end()
	r, err := replaytest.Of(c.log.Events)
	require.NoError(t, err)
	v := r.Review()
	require.Len(t, v.Steps, 2)
	assert.Equal(t, 7.0, v.Steps[0].Drops)
	assert.Contains(t, v.Steps[0].Entered, "6 drops")
	assert.Equal(t, "miscounted", v.Steps[0].Reason)
	assert.True(t, v.Steps[1].Undone)
	assert.InDelta(t, 1, v.Steps[0].Response, 0.5)
	var out bytes.Buffer
	require.NoError(t, v.WriteText(&out))
	assert.Contains(t, out.String(), "first recorded as 6 drops")
	assert.Contains(t, out.String(), "it was water")
}

// Who does as the coach says on an ordinary bench is not said to have erred.
func TestNoFalseAlarm(t *testing.T) {
	false_, runs := 0, 0
	for seed := uint64(300); seed < 305; seed++ {
		b, err := trial.Draw(trial.Ordinary, seed)
		require.NoError(t, err)
		c := newClumsy(t, b, seed, hands.AtOnce)
		v, _ := c.coached(20)
		c.wait(40)
		if c.over() || v.Advice.Do != coach.Stop {
			continue
		}
		runs++
		r, err := replaytest.Of(c.log.Events)
		require.NoError(t, err)
		for _, o := range r.Review().Over {
			if c.worst < math.Inf(1) && c.dir*(o.PH-o.Aim) > 0 {
				false_++
				t.Logf("seed %d (worst %.3f): %s", seed, c.worst, o.Words)
			}
		}
	}
	t.Logf("%d runs, %d false alarms", runs, false_)
	assert.LessOrEqual(t, false_, 1)
}

// A reading has its time of day in a run that is stepped through: "calibrated 0 min ago" stood
// on the screen of one whose calibration was hours old.
func TestReadingsHaveTheirTimeOfDay(t *testing.T) {
	c := coachedRun(t, 41)
	r, err := replaytest.Of(c.log.Events)
	require.NoError(t, err)
	plain := 0
	for i := range r.Len() {
		e, want := r.Event(i), c.log.Events[i+1].At
		require.InDelta(t, 0, e.At.Sub(want).Seconds(), 1e-3, "event %d", e.Seq)
		if e.Kind == journal.Read {
			plain++
		}
	}
	require.Greater(t, plain, 50)
}
