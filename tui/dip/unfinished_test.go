package dip

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/tui/screen"
)

// unfinishedAt is a bench of a test at a time of the day, with what was kept there.
func unfinishedAt(t *testing.T, c *both, after time.Duration) *handRig {
	t.Helper()
	h := byHand(t, c)
	began := h.Wall(0).Add(after)
	h.Wall = func(s float64) time.Time { return began.Add(time.Duration(s * 1e9)) }
	choices, _, err := c.Choices()
	require.NoError(t, err)
	h.Proc = walk.NewProcedure(choices, 25, h.Wall)
	h.Rig.Source = still{}
	require.NoError(t, c.Offer(h.Rig))
	return h
}

// A calibration that was broken off after its first standard is offered to whoever
// calibrates the same electrode within the hour; gone on with, it ends as one, and
// nothing is left of it then.
func TestCalibrateGoesOn(t *testing.T) {
	file := filepath.Join(t.TempDir(), "history.jsonl")
	c := func(electrode string) *both {
		return &both{Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}, Keeping{Electrode: electrode, File: file}, false}
	}
	h := unfinishedAt(t, c("E7"), 0)
	require.Nil(t, h.offered)
	h.says("")
	h.show(3, 140)
	require.Contains(t, h.talk.String(), "2 of 2")
	status := tell(&h.talk, h.answer("q", true))
	assert.Equal(t, remedy.Interrupted, status)
	assert.Contains(t, h.talk.String(), "interrupted; what was read in 7.00 is kept until 13:0")
	info, err := os.Stat(shelf.UnfinishedPath(file))
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())

	assert.Nil(t, unfinishedAt(t, c("E8"), 5*time.Minute).offered, "another electrode")
	assert.Nil(t, unfinishedAt(t, c("E7"), 2*time.Hour).offered, "stale")
	typed := c("E7")
	typed.typed = true
	h = unfinishedAt(t, typed, 5*time.Minute)
	assert.Nil(t, h.offered)
	assert.Contains(t, h.talk.String(), "with readings from another source: it is not resumed")
	other := c("E7")
	other.Standards = []string{"4.01", "10.01"}
	h = unfinishedAt(t, other, 5*time.Minute)
	assert.Nil(t, h.offered)
	assert.Contains(t, h.talk.String(), "with other standards: it is not resumed")

	again := c("e7")
	h = unfinishedAt(t, again, 5*time.Minute)
	require.NotNil(t, h.offered)
	assert.Equal(t, "E7", again.Electrode, "as it was written then")
	st := h.state("x")
	assert.Equal(t, screen.Offered, st.Mood)
	assert.Contains(t, st.Sentence, "interrupted 5 min ago")
	assert.Equal(t, "3.0 mV at 22.0 °C", st.Dips[0].Value)
	h.says("take")
	assert.Contains(t, h.talk.String(), "Enter: resume from there · new: from the start")
	assert.ErrorContains(t, h.answer("q", true), "is kept until", "leaving at the question loses nothing")
	h.says("")
	assert.Contains(t, h.talk.String(), "2 of 2: standard 4.01")
	h.says("")
	h.show(177, 140)
	require.Equal(t, walk.Done, h.Proc.Stage())
	points, check := h.Proc.Points()
	require.Len(t, points, 2)
	result, err := calib.Judge(calib.About{Electrode: "E7", At: h.Wall(h.clock)}, points, check)
	require.NoError(t, err)
	require.NoError(t, c("E7").Conclude(h.Rig, result))
	assert.NoFileExists(t, shelf.UnfinishedPath(file))
	kept, err := shelf.LoadHistory(file)
	require.NoError(t, err)
	assert.Len(t, kept.List, 1)
}

// Declined, it begins anew; what was kept goes only when a standard has been accepted
// in its place. Those of other electrodes stay, and lines that cannot be read are said.
func TestCalibrateBeginsAnew(t *testing.T) {
	file := filepath.Join(t.TempDir(), "history.jsonl")
	c := &both{Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}, Keeping{Electrode: "E7", File: file}, false}
	for _, e := range []string{"E8", "E7"} {
		o := *c
		o.Electrode = e
		h := unfinishedAt(t, &o, 0)
		h.says("")
		h.show(3, 140)
		require.ErrorContains(t, h.answer("q", true), "is kept until")
	}
	f, err := os.OpenFile(shelf.UnfinishedPath(file), os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString(`{"format":1,"electr`)
	require.NoError(t, err)
	require.NoError(t, f.Close())

	h := unfinishedAt(t, c, 10*time.Minute)
	assert.Contains(t, h.talk.String(), "1 line cannot be read")
	require.NotNil(t, h.offered)
	h.says("new")
	assert.Contains(t, h.talk.String(), "1 of 2: standard 7.00")
	list, _, err := shelf.LoadUnfinished(shelf.UnfinishedPath(file))
	require.NoError(t, err)
	assert.Len(t, list, 2, "nothing is let go of before there is something better")
	h.says("")
	h.show(5, 140)
	list, bad, err := shelf.LoadUnfinished(shelf.UnfinishedPath(file))
	require.NoError(t, err)
	assert.Zero(t, bad)
	require.Len(t, list, 2)
	assert.Equal(t, "E8", list[0].Electrode)
	assert.InDelta(t, 5, *list[1].Dips[0].Point.MV, 0.3)
}

// When the line dies, or the history cannot be written, what was accepted is kept,
// and it is said.
func TestCalibrateLosesNothing(t *testing.T) {
	file := filepath.Join(t.TempDir(), "history.jsonl")
	c := &both{Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}, Keeping{File: file}, false}
	h := unfinishedAt(t, c, 0)
	h.says("")
	h.show(3, 140)
	h.says("")
	h.show(177, 140)
	require.Equal(t, walk.Done, h.Proc.Stage())
	require.NoError(t, os.Mkdir(file, 0o700)) // in the way of the history
	points, _ := h.Proc.Points()
	result, err := calib.Judge(calib.About{At: h.Wall(h.clock)}, points, nil)
	require.NoError(t, err)
	tell(&h.talk, c.Conclude(h.Rig, result))
	assert.Contains(t, h.talk.String(), "what was read in 7.00 and 4.01 is kept until")
	require.NoError(t, os.Remove(file))
	h = unfinishedAt(t, c, 20*time.Minute)
	require.NotNil(t, h.offered)
	h.says("")
	assert.Equal(t, walk.Done, h.Proc.Stage(), "there is nothing left to read")

	h = unfinishedAt(t, c, 20*time.Minute)
	u := *h.offered
	u.Dips = u.Dips[:1] // 4.01 had still to be read
	h.offered = &u
	h.says("")
	err = h.take(meter.Report{Kind: meter.GotReading, Reading: meter.Reading{Quantity: meter.PH, Value: 7, Decimals: 2}})
	tell(&h.talk, h.Kept(err))
	assert.Contains(t, h.talk.String(), "the meter does not send what it sent")
	assert.Contains(t, h.talk.String(), "or start the calibration again")
}
