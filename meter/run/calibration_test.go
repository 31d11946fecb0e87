package run_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"github.com/stretchr/testify/require"
)

// opened is the state of a run that has just begun, at nine in the morning.
func opened(t *testing.T) run.State {
	t.Helper()
	plan, err := json.Marshal(recipe.Plan{
		Target: recipe.Target{PH: num(7.2)}, Beaker: recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(25)},
		Weighed:  []recipe.Weighed{{Reagent: "MOPS", MMol: num(5)}},
		Titrants: []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: num(1)}},
	})
	require.NoError(t, err)
	s, err := run.Open(journal.Event{Seq: 1, At: nine, Kind: journal.Started, Start: &journal.Start{Format: 1, Plan: plan}})
	require.NoError(t, err)
	return s
}

var nine = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)

func take(t *testing.T, s run.State, e journal.Event) run.State {
	t.Helper()
	e.Seq, e.At = s.Seq+1, nine.Add(time.Duration(e.T)*time.Second)
	s, err := run.Step(s, e)
	require.NoError(t, err)
	return s
}

// judged is a calibration with 4.01 and 7.00 at 25 °C, as mV.
func judged(t *testing.T, at time.Time, mv4, mv7 float64) json.RawMessage {
	t.Helper()
	var points []calib.Point
	for name, mv := range map[string]float64{"4.01": mv4, "7.00": mv7} {
		std, err := calib.Find(name, calib.Technical)
		require.NoError(t, err)
		p, err := calib.NewPoint(std, 25)
		require.NoError(t, err)
		p.MV = num(mv)
		points = append(points, p)
	}
	c, err := calib.Judge(calib.About{At: at}, points, nil)
	require.NoError(t, err)
	b, err := json.Marshal(c)
	require.NoError(t, err)
	return b
}

// TestMillivoltsTakeTheCalibration: 59.16 mV per pH at 25 °C (USP <791>); an
// offset of +6 mV at pH 7 is read as pH 7, not as 6.90.
func TestMillivoltsTakeTheCalibration(t *testing.T) {
	s := opened(t)
	mv := journal.Event{T: 1, Kind: journal.Read, Reading: &journal.Reading{MV: num(6), TempC: num(25), Decimals: 1}}
	require.InDelta(t, 6.90, take(t, s, mv).Look(1).PH, 0.005, "without a calibration by the theoretical slope")
	s = take(t, s, journal.Event{Kind: journal.Calibrated, Calibration: judged(t, nine.Add(-time.Hour), 6+2.99*59.16, 6)})
	v := take(t, s, mv).Look(1)
	require.InDelta(t, 7.00, v.PH, 0.005)
}

func TestCautionsOfTheCalibration(t *testing.T) {
	for name, c := range map[string]struct {
		payload json.RawMessage
		want    string
	}{
		"none known":                {json.RawMessage("null"), "no calibration"},
		"of this morning, long ago": {judged(t, nine.Add(-13*time.Hour), 2.99*59.16, 0), "calibrated 13 h ago: calibrate again soon"},
		"of last week":              {judged(t, nine.Add(-7*24*time.Hour), 2.99*59.16, 0), "calibrated 7 days ago, more than a day: calibrate again"},
		"out of bracket":            {judged(t, nine.Add(-time.Hour), 2.99*59.16, 0), "the aim, pH 7.20, is not between the standards, pH 4.01 to 7.00"},
		"not accepted":              {judged(t, nine.Add(-time.Hour), 2.99*50, 0), "the last calibration was not accepted: slope 84.4 %, offset +0.0 mV at 25.0 °C: not accepted"}, // 2.99 · 50 mV over 2.994 · 59.16 mV
	} {
		t.Run(name, func(t *testing.T) {
			s := take(t, opened(t), journal.Event{Kind: journal.Calibrated, Calibration: c.payload})
			v := s.Look(1)
			require.NotEmpty(t, v.Cautions)
			require.Contains(t, v.Cautions[0], c.want)
			require.Contains(t, v.Why(), "note: ")
		})
	}
	require.Empty(t, opened(t).Look(1).Cautions, "a run that was told nothing says nothing")
}

// A beaker at another temperature than the standards were: 2 °C are passed over
// (choice between 1 and 5 °C of two standards), more are said.
func TestCautionOfAnotherTemperature(t *testing.T) {
	s := take(t, opened(t), journal.Event{Kind: journal.Calibrated, Calibration: judged(t, nine.Add(-time.Hour), 2.99*59.16, 0)})
	at := func(c float64) []string {
		return take(t, s, journal.Event{T: 1, Kind: journal.Read, Reading: &journal.Reading{PH: num(5), TempC: num(c), Decimals: 2}}).Look(1).Cautions
	}
	require.NotContains(t, strings.Join(at(24), "; "), "the sample is at")
	require.Contains(t, strings.Join(at(18), "; "), "the sample is at 18.0 °C, the standards were at 25.0 °C")
}

// Tenths of millivolts are worth two digits of pH, and settle as such: a step
// of the last digit is 0.0017 pH (59.16 mV per pH at 25 °C: USP <791>).
func TestMillivoltsAreFineEnough(t *testing.T) {
	s := opened(t)
	for i := range 60 {
		mv := -40.0 + 0.1*float64(i%2)
		var err error
		s, err = run.Step(s, journal.Event{T: float64(i), Kind: journal.Read, Reading: &journal.Reading{MV: &mv, Decimals: 1}})
		require.NoError(t, err)
	}
	v := s.Look(59)
	require.GreaterOrEqual(t, v.Decimals, 2)
	require.Less(t, v.Settling.SD, 0.005)
}
