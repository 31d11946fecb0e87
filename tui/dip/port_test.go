//go:build linux || darwin

package dip

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station/stationtest"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The calibration in one window, the electrode in the other: slope and offset
// are those that the bench was made with.
func TestCalibrateOverThePort(t *testing.T) {
	t.Parallel() // it mostly waits
	w := stationtest.Open(t, stationtest.Demo(t, sim.SendMV, 40), 12500*time.Microsecond)
	source, err := serial.Open(serial.Config{Name: w.Path})
	require.NoError(t, err)
	c := &Wanted{Standards: []string{"7.00", "4.01"}, Check: "9.18", Set: "technical", Target: math.NaN()}
	choices, _, err := c.Choices()
	require.NoError(t, err)
	start := time.Now()
	wall := func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) }
	talk, told := io.Pipe()
	r := &Rig{Source: source, Now: w.Clock.Seconds, Wall: wall, Out: io.Discard, Talk: told}
	r.Proc = walk.NewProcedure(choices, 25, wall)
	lines := make(chan string, 1)
	go func() { // the person, who reads the prompts
		for sc := bufio.NewScanner(talk); sc.Scan(); {
			for _, ch := range choices {
				if strings.Contains(sc.Text(), "of 3: standard "+ch.Standard.String()) {
					fmt.Fprintf(w.Keys, "rinse\ninto %s\n", ch.Standard.Name)
				}
			}
			if strings.Contains(sc.Text(), "Enter when it is in") {
				lines <- ""
			}
		}
	}()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	require.NoError(t, r.Lead(ctx, lines))
	told.Close()
	points, check := r.Proc.Points()
	got, err := calib.Judge(calib.About{At: wall(r.Now())}, points, check)
	require.NoError(t, err)
	truth := w.Bench.Truth()
	t.Log(got.Summary())
	assert.InDelta(t, 100*(1+truth.Slope), got.SlopePct, 2*got.SlopeSD)
	assert.Less(t, got.SlopeSD, 1.5, "a spread that says nothing would be true as well")
	assert.InDelta(t, -truth.Offset*nernst.Slope(21), got.OffsetMV, 2*got.OffsetSD)
	assert.True(t, got.Usable())
	require.NotNil(t, got.Check)
	// Applied to the potential in a third liquid it gives its pH.
	mv := (7 - (8.2 + truth.Offset + truth.Slope*1.2)) * nernst.Slope(21)
	assert.InDelta(t, 8.2, got.Apply(mv, chem.Celsius(21)), 2*got.SpreadAt(8.2, 21))
}
