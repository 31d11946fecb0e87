package report_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/records"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/report"
)

// electrode is what the readings in the standards are made with: at 25 °C an
// ideal one has 59.16 mV per pH (USP <791>), this one 97 % of that, and 5 mV at
// pH 7.
const (
	idealMV  = 59.16
	slope97  = 0.97
	offsetMV = 5.0
)

// dip is a settled reading in a technical standard at 25 °C, in mV, or as the
// pH that the meter itself shows.
func dip(t *testing.T, name string, at time.Time, shown float64) calib.Point {
	t.Helper()
	std, err := standards.Find(name, standards.Technical)
	require.NoError(t, err)
	p, err := calib.NewPoint(std, chem.Celsius(25))
	require.NoError(t, err)
	p.At, p.Lot, p.Expiry, p.TauS = at, "L"+name, "2032-01", 6
	if shown != 0 {
		p.Shown = &shown
		return p
	}
	mv := offsetMV - slope97*idealMV*(p.PH-7)
	p.MV = &mv
	return p
}

// written is a calibration as the file of the history holds it.
func written(t *testing.T, at time.Time, points ...calib.Point) json.RawMessage {
	t.Helper()
	c, err := calib.Judge(calib.About{Electrode: "E2", Operator: "bench two", At: at}, points, nil)
	require.NoError(t, err)
	line, err := c.Encode()
	require.NoError(t, err)
	h, err := records.Read(bytes.NewReader(line))
	require.NoError(t, err)
	again, err := json.Marshal(h.List[0])
	require.NoError(t, err)
	return again
}

// pageWith is the page of the eventful run with a calibration after its start.
func pageWith(t *testing.T, payload json.RawMessage) (string, *report.Record) {
	t.Helper()
	events := eventfulRun(t, limpet)
	e := journal.Event{At: dawn, Kind: journal.Calibrated, Calibration: payload}
	events = slices.Insert(events, 1, e)
	for i := range events {
		events[i].Seq = int64(i + 1)
		events[i].Undo, events[i].Correct = nil, nil
	}
	events = slices.DeleteFunc(events, func(e journal.Event) bool { return e.Kind == journal.Undone || e.Kind == journal.Corrected })
	r, err := replaytest.Of(events)
	require.NoError(t, err)
	rec := report.New(r)
	var b bytes.Buffer
	require.NoError(t, rec.WritePage(&b))
	assert.NotContains(t, b.String(), "NaN")
	assert.NotContains(t, b.String(), "%!")
	return b.String(), rec
}

func TestCalibrationOfTheRecord(t *testing.T) {
	at := dawn.Add(-time.Hour)
	html, rec := pageWith(t, written(t, at, dip(t, "4.01", at, 0), dip(t, "7.00", at, 0), dip(t, "10.01", at, 0)))
	require.Len(t, rec.Calibrations, 1)
	assert.InDelta(t, 97, rec.Calibrations[0].SlopePct, 0.02, "59.16 mV is Nernst's slope at 25 °C")
	assert.InDelta(t, 5, rec.Calibrations[0].OffsetMV, 0.01)
	for _, want := range []string{"slope 97.0 ± 0.3 %, offset &#43;5.0 ± 0.4 mV at 25.0 °C: accepted", "the meter sends only pH, and the calibration kept of electrode E2 is for its mV", "E2", "L4.01", "2032-01", "time constant 6.0 s",
		"USP &lt;791&gt;", ">176.8<", ">5.0<"} { // 5 + 0.97 · 59.16 · (7 − 4.006) mV
		assert.Contains(t, html, want)
	}
	assert.NotContains(t, html, "None is part of this record")
	assert.NotContains(t, html, "No calibration is part")
}

func TestNoCalibrationIsSaid(t *testing.T) {
	html, rec := pageWith(t, json.RawMessage("null"))
	assert.Empty(t, rec.Calibrations)
	assert.Contains(t, html, "None is part of this record")
	assert.Contains(t, html, "No calibration is part of this record: the pH is as the meter showed it.")
	assert.NotContains(t, html, "slope 0.0 %")
}

// Of a meter that sent mV nobody calibrated anything.
func TestMillivoltsWithoutACalibration(t *testing.T) {
	events := eventfulRun(t, limpet)
	for i := range events {
		if r := events[i].Reading; r != nil && r.PH != nil {
			with := *r
			mv := nernst.MV(*r.PH, 21)
			with.PH, with.MV = nil, &mv
			events[i].Reading = &with
		}
	}
	events = slices.DeleteFunc(events, func(e journal.Event) bool { return e.Kind == journal.Calibrated })
	var page bytes.Buffer
	require.NoError(t, after(t, events).WritePage(&page))
	assert.Contains(t, page.String(), "No calibration is part of this record: the meter sent mV, and the pH is that of an ideal electrode.")
}

func TestCalibrationThatDoesNotFit(t *testing.T) {
	old := dawn.Add(-50 * time.Hour)
	html, _ := pageWith(t, written(t, old, dip(t, "4.01", old, 4.02), dip(t, "7.00", old, 7.02)))
	for _, want := range []string{
		"Calibration: calibrated 2 days ago, more than a day: calibrate again.",
		"is not between the standards, pH 4.0", "the standards were at 25.0 °C",
	} {
		assert.Contains(t, html, want)
	}
}

func TestCheckOfAMeterIsNoSlope(t *testing.T) {
	at := dawn.Add(-time.Hour)
	html, _ := pageWith(t, written(t, at, dip(t, "4.01", at, 4.03), dip(t, "7.00", at, 7.02)))
	assert.Contains(t, html, "check of the meter at 25.0 °C: off by &#43;0.0")
	assert.Contains(t, html, ">4.03<")
	assert.NotContains(t, html, "mV at pH 7")
}
