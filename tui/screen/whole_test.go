package screen_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/screentest"
)

// TestTheWayOutOfARunLookedBackOn: whatever is said over the keys, ? and q stay on the
// screen; a message took their row.
func TestTheWayOutOfARunLookedBackOn(t *testing.T) {
	for name, r := range replays() {
		if len(r.Help) > 0 || name == "whole" {
			continue
		}
		r.Message, r.Wrong = "no addition after this", true
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
			out := screen.Replayed(r, size[0], size[1])
			screentest.Fits(t, out, size[0], size[1])
			for _, want := range []string{"no addition after this", "? keys", "q leave"} {
				assert.Contains(t, out, want, "%s at %v\n%s", name, size, out)
			}
		}
	}
}

// TestStandardsReadAreWhole: the value of a standard is not cut for its temperature.
func TestStandardsReadAreWhole(t *testing.T) {
	st := calibrations()["settling"]
	st.Dips = []screen.Dip{{Name: "7.00", Value: "−1.1 mV at 21.0 °C"}, {Name: "10.01", Value: "−176.5 mV at 21.0 °C"}, {Name: "4.01", Now: true}}
	for _, size := range [][2]int{{60, 20}, {80, 24}} {
		out := screen.Calibrate(st, size[0], size[1])
		assert.Contains(t, out, "−176.5 mV", out)
		for line := range strings.Lines(out) {
			if strings.Contains(line, "176.5 mV") {
				assert.NotContains(t, line, "…", out)
			}
		}
	}
}
