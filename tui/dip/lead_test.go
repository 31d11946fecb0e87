package dip

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"testing"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/tui/screen"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// handRig is a rig driven by hand: each reading takes half a second.
type handRig struct {
	*Rig
	t         *testing.T
	out, talk bytes.Buffer
	clock     float64
}

func byHand(t *testing.T, c *both) *handRig {
	t.Helper()
	choices, _, err := c.Choices()
	require.NoError(t, err)
	h := &handRig{t: t}
	wall := func(s float64) time.Time {
		return time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC).Add(time.Duration(s * 1e9))
	}
	h.Rig = &Rig{Typed: c.typed, Now: func() float64 { return h.clock }, Wall: wall, Out: &h.out, Talk: &h.talk}
	h.Proc = walk.NewProcedure(choices, 25, wall)
	h.prompt()
	return h
}

// show lets readings of a potential, mV, come for some seconds.
func (h *handRig) show(mv, seconds float64) {
	h.t.Helper()
	for end := h.clock + seconds; h.clock < end; {
		h.clock += 0.5
		r := meter.Reading{Quantity: meter.Millivolt, Value: mv, Decimals: 1, TempC: 22, HasTemp: true}
		require.NoError(h.t, h.take(meter.Report{Kind: meter.GotReading, Reading: r}))
	}
}

func (h *handRig) says(text string) {
	h.t.Helper()
	require.NoError(h.t, h.answer(text, true))
}

// An electrode that shows the same everywhere: the person is asked and insists;
// the result names the likely causes, is kept, and is refused. No reason makes a
// line of it.
func TestCalibrateAlike(t *testing.T) {
	for _, reason := range []string{"", "to see what it says"} {
		c := &both{Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}, Keeping{File: filepath.Join(t.TempDir(), "history.jsonl"), Accept: reason}, false}
		h := byHand(t, c)
		h.says("take")
		assert.Contains(t, h.talk.String(), "Enter: the electrode is in")
		h.says("")
		h.show(3, 140)
		require.Contains(t, h.talk.String(), "2 of 2: standard 4.01")
		h.says("")
		h.show(3, 140)
		require.Contains(t, h.talk.String(), "it reads as 7.00 should: is the electrode in that beaker?")
		h.says("again")
		h.says("")
		h.show(3, 140)
		h.says("take")
		require.Equal(t, walk.Done, h.Proc.Stage())
		points, check := h.Proc.Points()
		result, err := calib.Judge(calib.About{At: h.Wall(h.clock)}, points, check)
		require.NoError(t, err)
		status := tell(&h.talk, c.Conclude(h.Rig, c.Insist(result)))
		assert.Contains(t, h.out.String(), "4.01 and 7.00 read alike")
		assert.Contains(t, h.out.String(), "not accepted")
		assert.Contains(t, h.out.String(), "accepted by hand")
		assert.NotContains(t, h.out.String(), "used all the same")
		assert.Equal(t, remedy.Missed, status)
		if reason == "" {
			assert.Contains(t, h.talk.String(), "halfdrop: error: the calibration is not accepted")
		} else {
			assert.Contains(t, h.talk.String(), "this cannot be accepted, whatever the reason: slope ")
		}
		kept, err := shelf.LoadHistory(c.File)
		require.NoError(t, err)
		assert.Len(t, kept.List, 1, "a refused one is kept as well")
	}
}

// Who sees after the second standard that the first was read in the wrong beaker goes back to
// it: its value is discarded, and what is kept on the way as well.
func TestBackToTheStandardBefore(t *testing.T) {
	h := byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}})
	kept := -1
	h.keep = func() error { u, _ := h.Proc.Unfinished(""); kept = len(u.Dips); return nil }
	h.forget = func() error { kept = 0; return nil }
	h.says("back")
	assert.Contains(t, h.talk.String(), "no standard has been accepted yet")
	h.says("")
	h.show(9, 140)
	require.Equal(t, 1, kept)
	h.says("")
	h.show(177, 5)
	h.says("back")
	require.Equal(t, 0, kept, "it is not resumed from")
	c, n, _ := h.Proc.Current()
	require.Equal(t, 1, n)
	assert.Equal(t, "7.00", c.Standard.Name)
	for _, mv := range []float64{1, 177} {
		h.says("")
		h.show(mv, 140)
	}
	require.Equal(t, walk.Done, h.Proc.Stage())
	points, _ := h.Proc.Points()
	require.Len(t, points, 2)
	assert.InDelta(t, 1, *points[0].MV, 0.2)
}

// What happens to the line is told, and a bad line is one reading less.
func TestCalibrateTellsOfTheLine(t *testing.T) {
	h := byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}})
	require.NoError(t, h.take(meter.Report{Kind: meter.GotLink, Link: meter.Lost, Text: "the line is gone"}))
	require.NoError(t, h.take(meter.Report{Kind: meter.GotBadLine, Text: "xx"}))
	assert.Contains(t, h.talk.String(), "halfdrop: the line is gone")
	h.says("")
	h.says("take")
	assert.Contains(t, h.talk.String(), "not accepted: standard 7.00: a point without a finite value: no reading has come")
}

// still is a meter that says nothing.
type still struct{}

func (still) String() string { return "a meter" }

func (still) Run(ctx context.Context, _ chan<- meter.Report) error {
	<-ctx.Done()
	return ctx.Err()
}

// A meter that sends no temperature: it is asked for, once, and goes into the points;
// standards that are unknown at it are refused before anything is read.
func TestCalibrateAsksForTheTemperature(t *testing.T) {
	bare := func(h *handRig, mv, seconds float64) {
		for end := h.clock + seconds; h.clock < end; {
			h.clock += 0.5
			require.NoError(t, h.take(meter.Report{Kind: meter.GotReading, Reading: meter.Reading{Quantity: meter.Millivolt, Value: mv, Decimals: 1}}))
		}
	}
	h := byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}})
	bare(h, 3, 2)
	h.says("")
	require.Contains(t, h.talk.String(), "the meter sends no temperature")
	require.Equal(t, walk.Immerse, h.Proc.Stage())
	h.says("75")
	require.Contains(t, h.talk.String(), "75 °C: a standard on a bench is at 0.5 to 60 °C")
	h.says("19,5 °c")
	h.says("")
	require.Equal(t, walk.Settle, h.Proc.Stage())
	bare(h, -1, 130)
	points, _ := h.Proc.Points()
	require.Len(t, points, 1)
	assert.InDelta(t, 19.5, points[0].TempC, 1e-9)
	assert.True(t, points[0].TempByHand)
	assert.Contains(t, h.talk.String(), "mV at 19.5 °C (± 0.01 pH), the temperature not measured, where the standard is pH 7.0", "it was said that the value had been accepted by hand")

	h = byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}})
	bare(h, 3, 2)
	h.says("")
	h.says("") // once more: the 25 °C that are assumed
	require.Equal(t, walk.Settle, h.Proc.Stage())

	h = byHand(t, &both{Wanted: Wanted{Standards: []string{"9.18", "3.56"}, Set: "primary"}})
	h.show(3, 2) // at 22 °C, where nothing is known of the tartrate
	err := h.answer("", true)
	require.ErrorContains(t, err, "nothing is known of 3.56 at 22.0 °C: its table covers 25 to 35 °C")
}

// A value taken by hand says so.
func TestCalibrateTakenByHand(t *testing.T) {
	h := byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}})
	h.says("")
	h.show(3, 2)
	h.says("take")
	assert.Contains(t, h.talk.String(), "accepted on your word after 2 s: 3.0 mV at 22.0 °C (± 0.10 pH)")
	assert.NotContains(t, h.talk.String(), "settled after")
}

// What the screen is told at each stage.
func TestCalibrateStates(t *testing.T) {
	h := byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical", Check: "9.21"}})
	h.Source = still{}
	st := h.state("x")
	assert.Equal(t, screen.DoNow, st.Mood)
	assert.Contains(t, st.Sentence, "into 7.00, then Enter (1 of 3)")
	assert.Len(t, st.Dips, 3)
	assert.True(t, st.Dips[0].Now)
	h.says("")
	h.show(3, 3)
	st = h.state("x")
	assert.Equal(t, screen.LetBe, st.Mood)
	assert.Equal(t, "3.0", st.Reading)
	assert.Equal(t, "mV · 22.0 °C", st.Unit)
	require.Len(t, st.Trace, 6)
	assert.InDelta(t, 3, st.Trace[5].X, 0.6)
	assert.InDelta(t, nernst.MV(7.012, 22), st.Expect, 0.1)
	h.show(3, 130)
	require.Equal(t, "3.0 mV at 22.0 °C", h.state("x").Dips[0].Value)
	h.says("")
	h.show(3, 140)
	assert.Equal(t, screen.LookAt, h.state("x").Mood)
	h.says("take")
	h.says("")
	h.says("take") // without a reading it is not taken
	h.show(-130, 2)
	h.says("take")
	st = h.state("x")
	assert.Equal(t, screen.AllSet, st.Mood)
	assert.Equal(t, "-130.0 mV at 22.0 °C", st.Dips[2].Value)
}

// both is what is to be read and where it is kept.
type both struct {
	Wanted
	Keeping
	typed bool
}

// told writes an error as the command line does, and is its kind.
func tell(w io.Writer, err error) remedy.Kind {
	var e *remedy.Error
	if !errors.As(err, &e) {
		e = &remedy.Error{Kind: remedy.Failed, Err: err}
	}
	fmt.Fprintf(w, "halfdrop: error: %v\n", err)
	for _, hint := range e.Hints {
		fmt.Fprintf(w, "halfdrop: hint: %s\n", hint)
	}
	return e.Kind
}

// A meter that sends its own pH beside the mV: what is calibrated is the mV, and
// reading, course, end and strip are all in it. The pH of the meter's own calibration
// beside an end in pH of the ideal electrode read "7.02, towards 6.88 ± 0.02".
func TestCalibrateInOneUnit(t *testing.T) {
	h := byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}})
	h.Source = still{}
	h.says("")
	for range 40 {
		h.clock += 0.5
		r := meter.Reading{Quantity: meter.PH, Value: 7.02, Decimals: 2, MV: 7.1, HasMV: true, TempC: 22, HasTemp: true}
		require.NoError(t, h.take(meter.Report{Kind: meter.GotReading, Reading: r}))
	}
	st := h.state("x")
	assert.Equal(t, "7.1", st.Reading)
	assert.Equal(t, "mV · 22.0 °C", st.Unit)
	assert.Regexp(t, `^towards 7\.[12] ± [0-9.]+ mV$`, st.Under)
	assert.InDelta(t, 7.1, st.Trace[len(st.Trace)-1].Y, 1e-9)
	assert.InDelta(t, nernst.MV(7.012, 22), st.Expect, 0.1)
	assert.Contains(t, st.Expects, "±15 mV")
	assert.Contains(t, h.talk.String(), "pH 7.02, 7.1 mV, 22 °C, settling: towards 7.2 ± ")
}

// A bottle past its date is said before it is poured, in lines and on the screen, and not
// only when the calibration is over.
func TestCalibrateAnExpiredBottle(t *testing.T) {
	h := byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00 4.01"}, Set: "technical", Expiries: map[string]string{"7.00": "2026-10", "4.01": "2026-11"}}})
	h.Source = still{}
	assert.Contains(t, h.talk.String(), "the bottle of 7.00 expired on 2026-10: open another one")
	assert.Contains(t, h.state("x").Why, "the bottle of 7.00 expired on 2026-10")
	h.says("")
	h.show(3, 140)
	assert.Contains(t, h.talk.String(), "2 of 2: standard 4.01")
	assert.NotContains(t, h.talk.String(), "expired on 2026-11")
	assert.NotContains(t, h.state("x").Why, "expired")
}

// The trend of a standard begins at its Enter, also where that came before a reading out of
// the standard before did: half the trend was of the last one.
func TestTheTrendIsOfTheStandardInHand(t *testing.T) {
	h := byHand(t, &both{Wanted: Wanted{Standards: []string{"7.00", "4.01"}, Set: "technical"}})
	h.Source = still{}
	h.says("")
	for h.Proc.Stage() == walk.Settle {
		h.show(-1, 0.5)
	}
	h.says("")
	h.show(170, 3)
	st := h.state("x")
	assert.NotEmpty(t, st.Trace)
	for _, p := range st.Trace {
		assert.GreaterOrEqual(t, p.X, 0.0)
		assert.InDelta(t, 170, p.Y, 0.01)
	}
}
