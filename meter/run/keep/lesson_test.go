package keep_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/propose"
	readings "example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/sim"
)

// meterChecked is a check of a meter that sends pH, which shows so much more than the standards have.
func meterChecked(t *testing.T, off float64) json.RawMessage {
	t.Helper()
	var points []calib.Point
	for _, name := range []string{"7.00", "10.01"} {
		s, err := standards.Find(name, standards.Technical)
		require.NoError(t, err)
		p, err := calib.NewPoint(s, 22)
		require.NoError(t, err)
		p.Shown, p.SD = runtest.Num(p.PH+off), 0.002
		points = append(points, p)
	}
	c, err := calib.Judge(calib.About{At: runtest.Dawn}, points, nil)
	require.NoError(t, err)
	b, err := json.Marshal(c)
	require.NoError(t, err)
	return b
}

// played is a run on the simulated bench that ended as the coach had it, with its
// calibration; what is asked in the end is passed over.
func played(t *testing.T, calibration json.RawMessage) run.State {
	t.Helper()
	p := runtest.Tris()
	for i := range p.Titrants {
		p.Titrants[i].Bottle, p.Titrants[i].Dropper = p.Titrants[i].Name, "blue"
	}
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := sim.New(setup, sim.DefaultTruth(setup, 11))
	require.NoError(t, err)
	k, err := keep.NewKeeper(runtest.First(p), &keep.Discard{}, runtest.Wall)
	require.NoError(t, err)
	require.NoError(t, k.Take(journal.Event{Kind: journal.Calibrated, Calibration: calibration}))
	for sec := 1.0; sec < 3600; sec++ {
		b.Advance(sec)
		require.NoError(t, k.Take(journal.Event{T: sec, Kind: journal.Read, Reading: readings.Reading(b.Sample())}))
		switch v := k.Look(sec); {
		case v.Advice.Do == coach.Add:
			a, err := k.State.Addition(setup.Stocks[v.Advice.Stock].Name, v.Advice.Drops, 0)
			require.NoError(t, err)
			require.NoError(t, k.Take(journal.Event{T: sec, Kind: journal.Added, Added: &a}))
			require.NoError(t, b.Dispense(a.Titrant, a.Drops, 0))
		case v.Advice.Reason == coach.Unfit:
			e, _, err := propose.Confirming(k.State, sec, "calibration")
			require.NoError(t, err)
			require.NoError(t, k.Take(e))
		case v.Advice.Do == coach.Stop:
			require.NoError(t, k.Take(propose.Ending(k.State, sec, "done")))
			return k.State
		}
	}
	t.Fatal("it did not end")
	return run.State{}
}

// What drops did by a meter that stands 0.3 pH off its standards is not what they do, also
// where a person has passed over that; how fast the electrode followed is.
func TestARefusedCalibrationTeachesNothingOfDrops(t *testing.T) {
	good, err := keep.Lesson(played(t, meterChecked(t, 0.01)), "E1", runtest.Dawn)
	require.NoError(t, err)
	assert.NotEmpty(t, good.Drops)
	assert.NotNil(t, good.Electrode)

	s := played(t, meterChecked(t, 0.3))
	require.Contains(t, s.Fitness()[0].Text, "the last calibration was not accepted")
	bad, err := keep.Lesson(s, "E1", runtest.Dawn)
	require.NoError(t, err)
	assert.Empty(t, bad.Drops)
	assert.NotNil(t, bad.Electrode)

	_, err = keep.Lesson(s, "", runtest.Dawn)
	assert.ErrorIs(t, err, keep.ErrNoLesson)
}
