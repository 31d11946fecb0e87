package screen_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// calibrations are the stages of a calibration in three standards.
func calibrations() map[string]screen.Calibration {
	keys := []keyrow.Key{{Name: "Enter", Short: "the electrode is in"}, {Name: "a", Short: "again"}, {Name: "t", Short: "accept now"}, {Name: "q", Short: "break off"}}
	base := screen.Calibration{
		Title: "Calibration of electrode E7", Facts: "01:12 · serial port /dev/ttyUSB0", Reading: "-0.9", Unit: "mV · 21.0 °C",
		Big: "4.01", Expect: math.NaN(), Keys: keys, Set: &widget.Unicode,
		Dips: []screen.Dip{{Name: "7.00", Value: "-0.9 mV at 21.0 °C"}, {Name: "4.01", Now: true}, {Name: "9.21 check"}},
	}
	dip := base
	dip.Sentence = "rinse, blot, and put the electrode into 4.01, then Enter (2 of 3)"
	dip.Why = "fresh technical buffers, nominal at 25 °C, at bench temperature; stir gently; bulb and junction under the surface, filling hole open"
	settling := base
	settling.Mood, settling.Sentence = screen.LetBe, "the electrode is in 4.01: leave it until it has settled (2 of 3)"
	settling.Why = "the reading is taken automatically once its end value is known"
	settling.Reading, settling.Under = "168.0", "towards 174.9 ± 1.9 mV"
	settling.Expect, settling.Near, settling.Expects = 175.1, 15, "ideal electrode, pH 4.00 ±15 mV"
	for i := range 24 {
		settling.Trace = append(settling.Trace, widget.Point{X: float64(i), Y: 174.6 - 175*math.Exp(-float64(i)/5)})
	}
	odd := settling
	odd.Mood, odd.Sentence = screen.LookAt, "check electrode and beaker: a reads again, t takes it"
	odd.Why = "it settled at about pH 6.95, 2.95 from the standard's 4.00: is the electrode in the beaker of 4.01, cap off, plug in?"
	odd.Facts, odd.Odd = "the line to /dev/ttyUSB0 is gone: is the adapter plugged in?", true
	done := base
	done.Mood, done.Sentence, done.Big = screen.AllSet, "all standards have been read", ""
	offered := base
	offered.Mood, offered.Big, offered.Reading, offered.Unit = screen.Offered, "", "6.21", "pH"
	offered.Sentence = "Enter resumes the calibration that was interrupted 12 min ago, n starts again"
	offered.Why = "resume only with the same portions and the same electrode, untouched in between"
	offered.Keys = []keyrow.Key{{Name: "Enter", Short: "go on"}, {Name: "n", Short: "from the start"}, {Name: "q", Short: "cancel"}}
	offered.Dips = []screen.Dip{{Name: "7.00", Value: "-0.9 mV at 21.0 °C"}, {Name: "4.01"}, {Name: "9.21 check"}}
	return map[string]screen.Calibration{"offered": offered, "dip": dip, "settling": settling, "odd": odd, "done": done, "nothing yet": {Set: &widget.Unicode, Expect: math.NaN()}}
}

func TestCalibrate(t *testing.T) {
	for _, name := range []string{"offered", "dip", "settling", "odd", "done"} {
		screentest.Goldens(t, name, func(w, h int) string { return screen.Calibrate(calibrations()[name], w, h) })
	}
}

// No size breaks the screen, and with ASCII nothing else is drawn.
func TestCalibrateAnySize(t *testing.T) {
	for name, st := range calibrations() {
		screentest.AnySize(t, name, func(set *widget.Set, w, h int) string {
			st.Set = set
			return screen.Calibrate(st, w, h)
		})
	}
}

// In a small terminal the sentence and the reading remain.
func TestCalibrateSmall(t *testing.T) {
	out := screen.Calibrate(calibrations()["settling"], 40, 8)
	assert.Contains(t, out, "the electrode is in 4.01")
	assert.Contains(t, out, "168.0 mV")
	assert.Contains(t, out, "Enter")
}
