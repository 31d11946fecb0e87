package screen_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
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

// TestHelpIsNotCut: what a key does is whole wherever the rows suffice for it.
func TestHelpIsNotCut(t *testing.T) {
	l := screen.Log{Set: &widget.Unicode}
	for i := range 10 {
		l.Help = append(l.Help, keyrow.Key{Name: fmt.Sprint(i), Does: "the column is pH, volume or time; m mV, d drops, c temperature"})
	}
	for _, size := range [][2]int{{60, 24}, {60, 26}, {80, 24}} {
		out := screen.Logged(l, size[0], size[1])
		screentest.Fits(t, out, size[0], size[1])
		assert.NotContains(t, out, "…", "%v\n%s", size, out)
	}
	l.Help[3].Does, l.Help[4].Does = "short", "short"
	for i := range 5 {
		l.Help[i].Does = "short"
	}
	out := screen.Logged(l, 60, 20)
	assert.NotContains(t, out, "…", out)
}

// TestLogShowsItsFit: beside how a log was read, all that is said of the fit has room at
// 80×24; rows of the table go first.
func TestLogShowsItsFit(t *testing.T) {
	l := logs()["how"]
	l.Set = &widget.Unicode
	for i := range 5 {
		l.Says = append(l.Says, fmt.Sprintf("pK %d.26 ± 0.03: 0.921 ± 0.012 mmol, 9.21 ± 0.12 mL of titrant", i))
	}
	l.Says = append(l.Says, "note: the meter seems to show 0.38 too high, if the titrant is as strong as given, last")
	l.Lines = []int{2, 3, 4, 5, 6, 7, 8}
	for len(l.Rows) < 7 {
		l.Rows = append(l.Rows, l.Rows[0])
	}
	out := screen.Logged(l, 80, 24)
	screentest.Fits(t, out, 80, 24)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "as strong as given, last", out)
	for range 9 {
		l.Says = append(l.Says, "more")
	}
	assert.Contains(t, screen.Logged(l, 80, 24), "Enter: the curve, and the rest of this")
	assert.Contains(t, screen.Logged(logsWith("curve"), 80, 24), "this reading")
}

func logsWith(name string) screen.Log {
	l := logs()[name]
	l.Set = &widget.Unicode
	return l
}

// TestFactsOfTheLastRunAreWhole: what stands below a short list at 60×20 is broken between
// words, not cut; the title leaves facts out whole.
func TestFactsOfTheLastRunAreWhole(t *testing.T) {
	m := menu.Menu{Title: "halfdrop", Facts: "last run 26 Nov 19:32, ended before the aim, not read at rest, MOPS 20 mM for the limpet enzyme", Set: &widget.Unicode}
	for i := range 6 {
		m.Rows = append(m.Rows, menu.Row{Left: fmt.Sprint(i + 1), Text: "Plan a buffer"})
	}
	p := &widget.Plot{Aim: 7, Tolerance: 0.1, XLabel: "min", YLabel: "pH", Curve: []widget.CurvePoint{{X: 0, Y: 5}, {X: 6, Y: 7.3}}}
	m.Side = &menu.Side{Title: "Last run", Plot: p, Facts: [][2]string{{"begun", "26 Nov 19:32, 2026"}, {"lasted", "6 min 41 s"},
		{"ended", "before the aim, not read at rest"}, {"readings", "simulated bench, seed 7"}, {"additions", "3"}}}
	out := menu.Draw(m, 60, 20)
	screentest.Fits(t, out, 60, 20)
	assert.NotContains(t, out, "…", out)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "ended before the aim", out)
	assert.Contains(t, out, "last run 26 Nov 19:32", out)
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
