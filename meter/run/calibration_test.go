package run_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/view"
)

// opened is the state of a run that has just begun, at nine in the morning.
func opened(t *testing.T) run.State { return openedFor(t, recipe.Target{PH: num(7.2)}) }

func openedFor(t *testing.T, target recipe.Target) run.State {
	t.Helper()
	plan, err := json.Marshal(recipe.Plan{
		Target: target, Beaker: recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(25)},
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
		std, err := standards.Find(name, standards.Technical)
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
		"not accepted":              {judged(t, nine.Add(-time.Hour), 2.99*50, 0), "the last calibration was not accepted: slope 84.4 ± 0.5 %, offset +0.0 ± 0.6 mV at 25.0 °C: not accepted"}, // 2.99 · 50 mV over 2.994 · 59.16 mV
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
		return take(t, s, journal.Event{T: 1, Kind: journal.Read, Reading: &journal.Reading{MV: num(2 * 59.16), TempC: num(c), Decimals: 1}}).Look(1).Cautions
	}
	require.NotContains(t, strings.Join(at(24), "; "), "the sample is at")
	require.Contains(t, strings.Join(at(18), "; "), "the sample is at 18.0 °C, the standards were at 25.0 °C")
}

// Tenths of millivolts are worth two digits of pH, and settle as such: a step
// of the last digit is 0.0017 pH (59.16 mV per pH at 25 °C: USP <791>).
func TestMillivoltsAreFineEnough(t *testing.T) {
	s := opened(t)
	for i := range 180 { // it may have crept before anybody looked
		mv := -40.0 + 0.1*float64(i%2)
		var err error
		s, err = run.Step(s, journal.Event{T: float64(i), Kind: journal.Read, Reading: &journal.Reading{MV: &mv, Decimals: 1}})
		require.NoError(t, err)
	}
	v := s.Look(179)
	require.GreaterOrEqual(t, v.Decimals, 2)
	require.Less(t, v.Settling.SD, 0.005)
}

// What was calibrated is what is applied: 97 % and +8 mV, in a liquid of pH 5 at 25
// °C, are 8 + 0.97 · 2 · 59.16 = 122.8 mV, which the meter by itself takes for 4.92.
func TestBothSentTakesTheLine(t *testing.T) {
	line := judged(t, nine.Add(-time.Hour), 8+0.97*2.994*59.16, 8)
	reading := meter.Reading{Quantity: meter.PH, Value: 4.92, Decimals: 2, MV: 122.8, HasMV: true, TempC: 25, HasTemp: true}
	rec := recorded.Reading(reading)
	require.NotNil(t, rec.MV, "the mV are in the record")
	require.NotNil(t, rec.PH)
	s := take(t, opened(t), journal.Event{Kind: journal.Calibrated, Calibration: line})
	require.InDelta(t, 5.00, take(t, s, journal.Event{T: 1, Kind: journal.Read, Reading: rec}).Look(1).PH, 0.005)
	require.InDelta(t, 4.92, take(t, opened(t), journal.Event{T: 1, Kind: journal.Read, Reading: rec}).Look(1).PH, 0.005, "without one it is what the meter shows")
	require.Nil(t, recorded.Reading(meter.Reading{Quantity: meter.PH, Value: 4.92, MV: math.NaN(), HasMV: true}).MV)
}

// checked is a check of a meter that calibrates itself and is off by some pH.
func checked(t *testing.T, at time.Time, off float64) json.RawMessage {
	t.Helper()
	var points []calib.Point
	for _, name := range []string{"7.00", "10.01"} {
		std, err := standards.Find(name, standards.Technical)
		require.NoError(t, err)
		p, err := calib.NewPoint(std, 25)
		require.NoError(t, err)
		p.Shown = num(p.PH + off)
		points = append(points, p)
	}
	c, err := calib.Judge(calib.About{At: at}, points, nil)
	require.NoError(t, err)
	b, err := json.Marshal(c)
	require.NoError(t, err)
	return b
}

// A line for mV and a meter that sends only pH do not go together, nor a check of a
// pH and a meter that sends only mV; with a check as well the pH rests on that.
func TestMisfitIsSaid(t *testing.T) {
	line, check := judged(t, nine.Add(-time.Hour), 2.994*59.16, 0), checked(t, nine.Add(-time.Hour), 0.01)
	ph, mv := journal.Reading{PH: num(7.2), TempC: num(25), Decimals: 2}, journal.Reading{MV: num(-12), TempC: num(25), Decimals: 1}
	for name, tc := range map[string]struct {
		kept []json.RawMessage
		sent journal.Reading
		want string // the first caution
		head string
	}{
		"line, sends pH":      {[]json.RawMessage{line}, ph, "is for its mV and is not applied", "not calibrated"},
		"check, sends mV":     {[]json.RawMessage{check}, mv, "is only a check of its pH", "not calibrated"},
		"both, sends pH":      {[]json.RawMessage{check, line}, ph, "", "meter checked, 60 min"},
		"both, sends mV":      {[]json.RawMessage{check, line}, mv, "is not between the standards, pH 4.01 to 7.00", "100.0 %, 60 min"},
		"check, sends pH":     {[]json.RawMessage{check}, ph, "", "meter checked, 60 min"},
		"check off, sends pH": {[]json.RawMessage{checked(t, nine, 0.2)}, ph, "not accepted", "calibration not accepted"},
	} {
		t.Run(name, func(t *testing.T) {
			s := opened(t)
			for _, p := range tc.kept {
				s = take(t, s, journal.Event{Kind: journal.Calibrated, Calibration: p})
			}
			v := take(t, s, journal.Event{T: 1, Kind: journal.Read, Reading: &tc.sent}).Look(1)
			require.Equal(t, tc.head, v.Calibration)
			if tc.want == "" {
				require.Empty(t, v.Cautions)
				return
			}
			require.NotEmpty(t, v.Cautions)
			require.Contains(t, v.Cautions[0], tc.want)
			require.Equal(t, tc.head == "not calibrated", strings.Contains(v.Why(), tc.want), "what does not fit is said with the first reading")
		})
	}
}

// The tolerance that is worked with is what is left of ±0.05 when a reading at its
// edge is to be truly inside in 95 of 100: ± sd of the line at the aim, 1.645 of them
// (normal distribution), and never less than half.
func TestSpreadOfTheCalibrationIsPartOfTheTolerance(t *testing.T) {
	with := func(payload json.RawMessage) view.View {
		s := take(t, opened(t), journal.Event{Kind: journal.Calibrated, Calibration: payload})
		return take(t, s, journal.Event{T: 1, Kind: journal.Read, Reading: &journal.Reading{MV: num(-10), TempC: num(25), Decimals: 1}}).Look(1)
	}
	v := with(judged(t, nine.Add(-time.Hour), 2.994*59.16, 0))
	// At 7.2 a line through 4.01 and 7.00 has 1.07 and −0.07 of the errors of its
	// bottles, ±0.010 each: 0.0107.
	require.InDelta(t, 0.0107, v.Spread, 0.002)
	require.InDelta(t, 0.05-1.645*0.0107, v.Advice.Tolerance, 0.003)
	require.InDelta(t, 0.05, v.Tolerance, 1e-9, "that of the plan is shown as it is")
	require.InDelta(t, 0.025, with(checked(t, nine.Add(-time.Hour), 0.02)).Tolerance/2, 1e-9)
	s := take(t, opened(t), journal.Event{Kind: journal.Calibrated, Calibration: checked(t, nine.Add(-time.Hour), 0.09)})
	v = take(t, s, journal.Event{T: 1, Kind: journal.Read, Reading: &journal.Reading{PH: num(7.2), TempC: num(25), Decimals: 2}}).Look(1)
	require.InDelta(t, 0.025, v.Advice.Tolerance, 1e-9, "a meter that is off by 0.09 leaves half")
	require.Contains(t, strings.Join(v.Cautions, "; "), "the tolerance is ±0.05")
}

// rested is a run at its aim, read at rest for two minutes with a line: MOPS alone
// is the acid that it is at the start.
func rested(t *testing.T, payload json.RawMessage) run.State {
	t.Helper()
	start := opened(t).Forecast().Start
	s := openedFor(t, recipe.Target{PH: num(math.Round(100*start) / 100), Tolerance: num(0.2)})
	s = take(t, s, journal.Event{Kind: journal.Calibrated, Calibration: payload})
	for i := range 240 {
		mv := math.Round(10*((7-start)*59.16+10*math.Exp(-float64(i)/8))+float64(i*i%7)/3-1) / 10
		s = take(t, s, journal.Event{T: float64(i+1) / 2, Kind: journal.Read, Reading: &journal.Reading{MV: &mv, TempC: num(25), Decimals: 1}})
	}
	return s
}

// Done on a calibration in doubt says so, and beyond the last level it is withheld
// until a person decides.
func TestDoneOnADoubtfulCalibration(t *testing.T) {
	aged := func(age time.Duration) (run.State, view.View) {
		s := rested(t, judged(t, nine.Add(-age), 2.994*59.16, 0))
		return s, s.Look(120)
	}
	_, v := aged(time.Hour)
	require.Regexp(t, `^DONE, read \d+\.\d+$`, v.Sentence(), v.Why())
	require.Empty(t, v.Doubtful)
	require.InDelta(t, 0.2, v.Advice.Tolerance+v.Share, 1e-9, "what the coach does not use is the calibration's")
	require.InDelta(t, 1.645*v.Spread, v.Share, 1e-3)
	_, v = aged(13 * time.Hour)
	require.Equal(t, coach.Stop, v.Advice.Do)
	require.Contains(t, v.Sentence(), "but calibrated long ago")
	s, v := aged(30 * time.Hour)
	require.Equal(t, coach.Check, v.Advice.Do)
	require.Equal(t, coach.Unfit, v.Advice.Reason)
	require.Contains(t, v.Sentence(), "CHECK the calibration before you end at 4.")
	require.Contains(t, v.Why(), "more than a day")
	s = take(t, s, journal.Event{T: 120, Kind: journal.Confirmed})
	v = s.Look(120)
	require.Equal(t, coach.Stop, v.Advice.Do, "a person has decided")
	require.Contains(t, v.Sentence(), "but calibrated long ago", "and it is said all the same")
	// What has been passed over once is asked about again for another calibration.
	s = take(t, s, journal.Event{T: 120, Kind: journal.Calibrated, Calibration: judged(t, nine.Add(-time.Hour), 2.994*59.16, 0)})
	require.Equal(t, coach.Stop, s.Look(120).Advice.Do, "a new one sets it right")
	s = take(t, s, journal.Event{T: 120, Kind: journal.Calibrated, Calibration: judged(t, nine.Add(-26*time.Hour), 2.994*59.16, 0)})
	require.Equal(t, coach.Unfit, s.Look(120).Advice.Reason)
}
