//go:build linux || darwin

package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station/stationtest"
	"example.org/halfdrop/tui/dip"
	"example.org/halfdrop/tui/live"
)

// TestCalibratedRuns: calibrated and titrated over a pseudo-terminal, with meters
// that send mV, pH, and both, on an electrode that is
// not ideal; what the run says
// in the end is true within what it claims. Each runs thirty times as fast.
func TestCalibratedRuns(t *testing.T) {
	for sends, kind := range map[string]sim.Sends{"mv": sim.SendMV, "ph": sim.SendPH, "both": sim.SendBoth} {
		t.Run(sends, func(t *testing.T) {
			if testing.Short() {
				t.Skip("NOT RUN with -short: no calibration and run by it over a pseudo-terminal, which take half a minute of real time")
			}
			t.Parallel()
			w := stationtest.Open(t, stationtest.Demo(t, kind, 30), 20*time.Millisecond)
			source, err := serial.Open(serial.Config{Name: w.Path})
			require.NoError(t, err)
			start := time.Now()
			wall := func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) }
			file := filepath.Join(t.TempDir(), "history.jsonl")
			c := &calibration{Wanted: dip.Wanted{Standards: []string{"7.00", "10.01"}, Set: "technical"}, Keeping: dip.Keeping{Electrode: "E7", File: file}}
			got := dipped(t, w, source, c, wall)
			t.Log(got.Summary())
			require.True(t, got.Usable(), "%s", got.Summary())
			require.NoError(t, shelf.AppendHistory(file, got))
			fmt.Fprintln(w.Keys, "back")

			source, err = serial.Open(serial.Config{Name: w.Path})
			require.NoError(t, err)
			plan, err := (&live.Asked{}).Recipe()
			require.NoError(t, err)
			first, err := keep.Begin(plan, start, keep.Origin{Program: madeBy(), Source: source.String()})
			require.NoError(t, err)
			keeper, err := keep.NewKeeper(first, &keep.Discard{}, wall)
			require.NoError(t, err)
			var talk bytes.Buffer
			require.NoError(t, (shelf.Electrode{Name: "e7", File: file}).Tell(keeper, &talk))
			require.NoError(t, keeper.Take(journal.Event{T: w.Clock.Seconds(), Kind: journal.Remarked, Remark: &journal.Remark{Text: "calibrated"}}))
			if sends == "ph" {
				assert.Contains(t, talk.String(), "by its own calibration")
			} else {
				assert.Contains(t, talk.String(), "the mV of the meter become pH with E7")
			}
			last, additions := w.Titrate(t, keeper, source)
			made := w.Bench.Truth() // what the meter shows is pH + offset + slope · (pH − 7)
			truth := (w.Bench.True() - made.Offset + 7*made.Slope) / (1 + made.Slope)
			claimed := math.Hypot(last.Spread, last.Settling.SD)
			t.Logf("%s: %d additions; reads %.3f ± %.3f, truly %.3f; %s; %s", sends, additions, last.Settling.End, claimed, truth, last.Calibration, strings.Join(last.Cautions, "; "))
			assert.InDelta(t, truth, last.Settling.End, 2*claimed)
			assert.Less(t, claimed, 0.06, "a spread that says nothing would be true as well")
			assert.NotEmpty(t, last.Calibration)
		})
	}
}

// dipped goes through the standards of a calibration over the port.
func dipped(t *testing.T, w *stationtest.Window, source *serial.Source, c *calibration, wall func(float64) time.Time) calib.Calibration {
	t.Helper()
	choices, _, err := c.Choices()
	require.NoError(t, err)
	talk, told := io.Pipe()
	r := &dip.Rig{Source: source, Now: w.Clock.Seconds, Wall: wall, Out: io.Discard, Talk: told}
	r.Proc = walk.NewProcedure(choices, 25, wall)
	lines := make(chan string, 1)
	go func() { // the person, who reads the prompts
		for sc := bufio.NewScanner(talk); sc.Scan(); {
			for _, ch := range choices {
				if strings.Contains(sc.Text(), fmt.Sprintf("of %d: standard %s", len(choices), ch.Standard)) {
					fmt.Fprintf(w.Keys, "rinse\ninto %s\n", ch.Standard.Name)
				}
			}
			switch {
			case strings.Contains(sc.Text(), "Enter when it is in"):
				lines <- ""
			case strings.Contains(sc.Text(), "type again after putting it right"):
				lines <- "take"
			}
		}
	}()
	require.NoError(t, r.Lead(t.Context(), lines)) // no limit of its own: a busy machine takes minutes
	told.Close()
	points, check := r.Proc.Points()
	got, err := calib.Judge(calib.About{Electrode: c.Electrode, At: wall(r.Now())}, points, check)
	require.NoError(t, err)
	return got
}
