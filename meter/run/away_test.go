package run_test

import (
	"math"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/typed"
	"example.org/halfdrop/meter/run/view"
)

// What the electrode reads in standards is no evidence on the beaker: the order that
// stood before the check is the order after it, nothing is asked of the movement, and
// the readings of the compositions are as they were.
func TestACheckSaysNothingOfTheBeaker(t *testing.T) {
	w := walking(t, 7.2)
	before := w.in(4.6, 90)
	require.Equal(t, coach.Add, before.Advice.Do, before.Sentence())
	v := w.step(journal.StepOut, technical("7.00", "4.01")...)
	assert.Equal(t, "DIP the electrode into standard 7.00 (1 of 2)", v.Sentence())
	assert.Contains(t, v.Why(), "fresh portion at bench temperature", "nothing is known of a bottle")
	assert.Equal(t, coach.InStandard, v.Advice.Reason)
	v = w.in(6.3, 15) // rinsed, in the air
	assert.Equal(t, walk.Immerse, v.Away.Stage)
	w.step(journal.StepIn)
	v = w.in(7.00, 20)
	assert.Equal(t, walk.Settle, v.Away.Stage, "it has just been put in")
	for range 100 {
		if v = w.in(7.00, 1); v.Away.Stage != walk.Settle {
			break
		}
	}
	assert.Equal(t, "DIP the electrode into standard 4.01 (2 of 2)", v.Sentence())
	w.in(6, 8)
	w.step(journal.StepIn)
	for range 120 {
		if v = w.in(4.01, 1); v.Away.Stage == walk.Done {
			break
		}
	}
	require.Equal(t, "BACK into the beaker with the electrode", v.Sentence())
	require.NotNil(t, v.Away.Verdict)
	assert.InDelta(t, 0, v.Away.Verdict.Shift, 0.01)
	assert.Contains(t, v.Why(), "no reading. Rinse and blot")
	assert.Empty(t, v.Spotted)
	w.in(6, 10)
	require.Equal(t, before.Points[0].After, v.Points[0].After)
	assert.InDelta(t, before.Points[0].PH, v.Points[0].PH, 0.005, "as it was read in the beaker")
	v = w.back()
	assert.Nil(t, v.Away)
	for range 120 {
		v = w.in(4.6, 1)
		require.NotEqual(t, coach.Check, v.Advice.Do, v.Sentence())
		if v.Advice.Do == coach.Add {
			break
		}
	}
	require.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
	assert.InDelta(t, before.Advice.Drops, v.Advice.Drops, 0.2*before.Advice.Drops)
	require.NotNil(t, v.Verified)
	assert.Contains(t, v.Calibration, "checked 0 min")
}

// Back in the beaker the first readings are on their way from the standard, or from
// rinse water: whatever it was, nothing is ordered on where they came from.
func TestBackFromAStandard(t *testing.T) {
	for _, from := range []float64{4.00, 4.5, 7.00, 10.01} {
		w := walking(t, 7.2)
		w.in(4.6, 90)
		w.step(journal.StepOut, technical("7.00")...)
		w.step(journal.StepIn)
		w.in(from, 60)
		v := w.back()
		assert.Equal(t, coach.Wait, v.Advice.Do)
		for range 40 {
			v = w.in(4.6, 1)
			require.NotEqual(t, coach.Check, v.Advice.Do, "from %g: %s", from, v.Sentence())
			if v.Advice.Do == coach.Add {
				require.InDelta(t, 4.6, v.Settling.End, 0.25, "from %g: %s", from, v.Sentence())
			}
		}
		assert.Equal(t, coach.Add, v.Advice.Do, "from %g: %s", from, v.Sentence())
	}
}

// The temperature of a standard is not that of the beaker: the aim stays.
func TestACheckDoesNotMoveTheAim(t *testing.T) {
	w := walking(t, 7.2)
	aim := w.in(4.6, 60).Advice.Aim
	w.step(journal.StepOut, technical("7.00")...)
	for range 60 {
		w.sec++
		require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Read, Reading: &journal.Reading{PH: num(7.1), TempC: num(19), Decimals: 2}}))
	}
	assert.InDelta(t, aim, w.back().Advice.Aim, 1e-3)
	assert.InDelta(t, 25, float64(w.keep.Look(w.sec).BenchTemp), 0.1)
}

// A shift by more than the tolerance withholds the end until a person has decided; a
// new calibration takes the check away.
func TestAShiftWithholdsTheEnd(t *testing.T) {
	w, start, slope := shifted(t, 5*time.Hour)
	v := w.in(start+12/slope, 200) // reads as before
	require.Equal(t, coach.Unfit, v.Advice.Reason, v.Sentence())
	assert.Contains(t, v.Sentence(), "it has shifted, by the check in standards")
	require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Calibrated, Calibration: judged(t, nine, 2.99*slope+12, 12)}))
	v = w.in(start, 90)
	assert.Nil(t, v.Verified)
	assert.NotEqual(t, coach.Unfit, v.Advice.Reason, v.Sentence())
}

// What withholds the end is asked about one by one, and an answer is about what was asked:
// who ends on a calibration of yesterday has not agreed to a shift.
func TestReasonsToWithholdAreAskedOneByOne(t *testing.T) {
	w, start, slope := shifted(t, 30*time.Hour)
	v := w.in(start+12/slope, 200)
	for _, word := range []string{"it has shifted", "calibrated long ago"} {
		require.Equal(t, coach.Unfit, v.Advice.Reason, v.Sentence())
		assert.Contains(t, v.Sentence(), word)
		require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Confirmed}))
		v = w.keep.Look(w.sec)
	}
	assert.Equal(t, coach.Stop, v.Advice.Do, v.Sentence())
	assert.Contains(t, v.Sentence(), "it has shifted", "and it is said all the same, the weightiest first")
}

// shifted is a run at its aim whose electrode was calibrated so long ago, and then found to
// read 0.2 pH too low in a standard.
func shifted(t *testing.T, age time.Duration) (w *walker, start, slope float64) {
	t.Helper()
	start = opened(t).Forecast().Start
	w = walkingFor(t, recipe.Target{PH: num(math.Round(100*start) / 100), Tolerance: num(0.1)})
	slope = 59.16
	w.mv = func(ph float64) float64 { return -slope * (ph - 7) } // as it was calibrated
	require.NoError(t, w.keep.Take(journal.Event{Kind: journal.Calibrated, Calibration: judged(t, nine.Add(-age), 2.99*slope, 0)}))
	v := w.in(start, 150)
	require.Equal(t, age < 24*time.Hour, v.Advice.Do == coach.Stop, v.Sentence())
	assert.Equal(t, []string{"4.01", "7.00"}, v.Standards, "those of the calibration, the one next to the aim first")
	w.mv = func(ph float64) float64 { return -slope*(ph-7) + 12 } // 0.2 pH
	list, err := w.keep.State.CheckStandards("")
	require.NoError(t, err)
	v = w.step(journal.StepOut, list[0])
	assert.Contains(t, v.Why(), "fresh portion from the bottle used for the calibration", "another one may be off by another amount")
	w.step(journal.StepIn)
	for range 120 {
		if v = w.in(4.00, 1); v.Away.Stage != walk.Settle {
			break
		}
	}
	require.NotNil(t, v.Away.Verdict, v.Why())
	assert.Equal(t, calib.Refused, v.Away.Verdict.Verdict, v.Away.Verdict.Summary())
	assert.InDelta(t, -12/slope, v.Away.Verdict.Shift, 0.02)
	w.back()
	return w, start, slope
}

// Steps out of their order are refused, and change nothing; a check can be broken off
// at any time, and what was read until then is judged.
func TestStepsOfACheck(t *testing.T) {
	w := walking(t, 7.2)
	w.in(4.6, 60)
	refused := func(step string, standards ...journal.Standard) string {
		t.Helper()
		err := w.keep.Take(journal.Event{T: w.sec, Kind: journal.Checking, Checking: &journal.CheckStep{Step: step, Standards: standards}})
		require.Error(t, err)
		return err.Error()
	}
	for _, s := range []string{journal.StepIn, journal.StepTake, journal.StepStop} {
		assert.Contains(t, refused(s), "no check in standards is in progress")
	}
	assert.Contains(t, refused(journal.StepOut), "in one standard to 3, not in 0")
	assert.Contains(t, refused(journal.StepOut, technical("5.55")...), "no such standard")
	w.step(journal.StepOut, technical("7.00", "4.01")...)
	assert.Contains(t, refused(journal.StepOut, technical("7.00")...), "is already out for a check")
	assert.Contains(t, refused(journal.StepTake), "nothing has been read in the standard yet")
	assert.Contains(t, refused("jump"), `no step "jump"`)
	w.step(journal.StepIn)
	assert.Contains(t, refused(journal.StepIn), "it is in the standard already")
	w.in(7.00, 10)
	v := w.step(journal.StepTake)
	require.Equal(t, 2, v.Away.Number, "it was taken as it was")
	v = w.back()
	require.NotNil(t, v.Verified)
	require.Len(t, v.Verified.Seen, 1)
	assert.True(t, v.Verified.Seen[0].Point.ByHand)

	w.step(journal.StepOut, technical("7.00")...)
	v = w.step(journal.StepStop)
	assert.Equal(t, walk.Done, v.Away.Stage)
	assert.Nil(t, v.Away.Verdict, "nothing was read")
	assert.Contains(t, v.Why(), "nothing was read in a standard")
	assert.Contains(t, refused(journal.StepIn), "all standards have been read")
	w.in(6, 5)
	assert.Nil(t, w.back().Away)

	// Taken up again, nobody knows where the electrode has been.
	w.step(journal.StepOut, technical("7.00")...)
	require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Gap, Gap: &journal.GapPayload{Seconds: 600}}))
	assert.Equal(t, "BACK into the beaker with the electrode", w.keep.Look(w.sec).Sentence())
}

// By hand a value that is typed is the reading in the standard; one that is far off is
// asked about, and taken when it is meant.
func TestACheckByHand(t *testing.T) {
	w := walking(t, 7.2)
	types := func(ph float64) view.View {
		t.Helper()
		w.sec += 30
		require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2, Typed: true, Stands: true}}))
		return w.keep.Look(w.sec)
	}
	types(4.6)
	w.step(journal.StepOut, technical("7.00", "4.01")...)
	assert.Nil(t, w.keep.State.Slip(w.sec, typed.Value{PH: 7.03, Decimals: 2, Stands: true}), "the standard is far from the beaker, which is no slip")
	v := types(7.03)
	require.Equal(t, 2, v.Away.Number)
	v = types(7.04)
	require.Equal(t, walk.Ask, v.Away.Stage)
	assert.Contains(t, v.Why(), "it reads as 7.00 should")
	v = types(4.03)
	require.Equal(t, walk.Done, v.Away.Stage)
	assert.InDelta(t, 0.03, v.Away.Verdict.Seen[1].Shift, 0.006)
	assert.InDelta(t, 0.02, v.Away.Verdict.Seen[0].Shift, 0.016)
	assert.Nil(t, v.Next, "no value is wanted on the way back")
}

// A journal with a check in it is taken up again and read by the run as it was.
func TestACheckIsOnRecord(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	b, w := record(t, path, 3)
	b.seconds(40)
	step := func(s journal.CheckStep) {
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Checking, Checking: &s}))
	}
	step(journal.CheckStep{Step: journal.StepOut, Standards: technical("7.00")})
	step(journal.CheckStep{Step: journal.StepIn})
	b.seconds(20)
	step(journal.CheckStep{Step: journal.StepTake})
	require.NotNil(t, b.keep.Look(b.sec).Verified)
	require.NoError(t, b.keep.Immerse(b.sec))
	b.seconds(30)
	was := b.keep.Look(b.sec)
	require.NoError(t, w.Close())
	r, err := keep.Resume(path, dawn.Add(time.Hour))
	require.NoError(t, err)
	defer r.Writer.Close()
	v := r.Keeper.Look(r.Keeper.State.T)
	require.NotNil(t, v.Verified)
	assert.Equal(t, was.Verified.Summary(), v.Verified.Summary())
	assert.Nil(t, v.Away)
}

// Five hours after a calibration the reminder says what to press; a check that it
// stood takes the reminder away, and says that it is none of calibration's kind.
func TestTheReminderOfACheck(t *testing.T) {
	w := walking(t, 7.2)
	const slope = 59.16
	w.mv = func(ph float64) float64 { return -slope * (ph - 7) }
	require.NoError(t, w.keep.Take(journal.Event{Kind: journal.Calibrated, Calibration: judged(t, nine.Add(-5*time.Hour), 2.994*slope, 0)}))
	v := w.in(4.6, 4)
	require.Equal(t, coach.Settling, v.Advice.Reason)
	assert.Contains(t, v.Why(), "many laboratories would repeat it by now; k checks it in standards")
	w.step(journal.StepOut, technical("7.00")...)
	w.step(journal.StepIn)
	for range 150 {
		if v = w.in(7.00, 1); v.Away.Stage != walk.Settle {
			break
		}
	}
	w.back()
	v = w.in(4.6, 4)
	assert.NotContains(t, v.Why(), "k checks it")
	said := ""
	for _, f := range w.keep.State.Fitness() {
		said += f.Text + "\n"
	}
	assert.Contains(t, said, "it held, which is not a new calibration")
}
