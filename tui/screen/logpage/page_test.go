package logpage_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen/logpage"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// logs are invented logs of other programs.
func logs() map[string]logpage.Page {
	l := logpage.Page{Name: "session.csv", How: "How it was read: columns separated by commas",
		Columns: []logpage.Column{{"Time (min)", "time", "by its name"}, {"V NaOH / mL", "volume", "by its name"}, {"pH left", "pH", "as said"}, {"pH right", "not used", "another pH"}, {"operator's remark of the day", "not used", "holds no numbers"}},
		Lines:   []int{4, 5, 6}, Rows: [][]string{{"0", "0.00", "2.88", "2.91", ""}, {"0.5", "0.50", "3.31", "3.35", "slow"}, {"1.0", "1.00", "3.62"}},
		Says: []string{"fitted over 61 volumes as titrated with a base; left over 0.012 of pH", "pK 4.66 ± 0.01: 2.502 ± 0.003 mmol", "equivalence at 25.02 ± 0.02 mL", "note: the sample volume is not known (--sample-ml)"},
		Keys: []keyrow.Key{{Name: "← →", Short: "choose"}, {Name: "Enter", Short: "curve"}, {Name: "q", Short: "leave"}}, XLabel: "mL", At: "reading 31 of 61: 12.50 mL, pH 4.71, line 34; the fit has 4.70"}
	for i := range 61 {
		x := 0.5 * float64(i)
		l.Curve = append(l.Curve, widget.CurvePoint{X: x, Y: 3 + 0.13*x, Low: 3 + 0.13*x, High: 3 + 0.13*x})
		if i < 31 {
			l.Points = append(l.Points, widget.Point{X: x, Y: 3.02 + 0.13*x})
		}
	}
	how, ask, last, help := l, l, l, l
	how.Reading, how.Chosen = true, 2
	ask.Reading, ask.Ask = true, "several columns may be the pH: pH left, pH right. Choose the column with ← →, then p."
	last.Reading, last.Chosen, last.Message, last.Wrong = true, 4, "it is not used as it is", true
	help.Help = []keyrow.Key{{Name: "Enter", Does: "from how it was read to the curve"}}
	return map[string]logpage.Page{"how": how, "ask": ask, "last": last, "curve": l, "help": help}
}

func TestLoggedScreens(t *testing.T) {
	for name, l := range logs() {
		l.Set = &widget.Unicode
		screentest.Goldens(t, name, func(w, h int) string { return logpage.Draw(l, w, h) })
	}
}

// Any size is drawn, in any set of characters, and the chosen column is always seen.
func TestLoggedFitsAnySize(t *testing.T) {
	for name, l := range logs() {
		screentest.AnySize(t, name, func(set *widget.Set, w, h int) string {
			l.Set = set
			return logpage.Draw(l, w, h)
		})
		l.Set = &widget.Unicode
		if name == "last" {
			assert.Contains(t, logpage.Draw(l, 60, 20), "operator's rem", "the chosen column")
		}
	}
}

// TestHelpIsNotCut: what a key does is whole wherever the rows suffice for it.
func TestHelpIsNotCut(t *testing.T) {
	l := logpage.Page{Set: &widget.Unicode}
	for i := range 10 {
		l.Help = append(l.Help, keyrow.Key{Name: fmt.Sprint(i), Does: "the column is pH, volume or time; m mV, d drops, c temperature"})
	}
	for _, size := range [][2]int{{60, 24}, {60, 26}, {80, 24}} {
		out := logpage.Draw(l, size[0], size[1])
		screentest.Fits(t, out, size[0], size[1])
		assert.NotContains(t, out, "…", "%v\n%s", size, out)
	}
	l.Help[3].Does, l.Help[4].Does = "short", "short"
	for i := range 5 {
		l.Help[i].Does = "short"
	}
	out := logpage.Draw(l, 60, 20)
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
	out := logpage.Draw(l, 80, 24)
	screentest.Fits(t, out, 80, 24)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "as strong as given, last", out)
	for range 9 {
		l.Says = append(l.Says, "more")
	}
	assert.Contains(t, logpage.Draw(l, 80, 24), "Enter: the curve, and the rest of this")
	assert.Contains(t, logpage.Draw(logsWith("curve"), 80, 24), "this reading")
}

func logsWith(name string) logpage.Page {
	l := logs()[name]
	l.Set = &widget.Unicode
	return l
}

// What would have been enough is the end of the sentence about an overshoot, and is seen on
// a small screen too.
func TestAnOvershootIsToldWhole(t *testing.T) {
	l := logsWith("how")
	l.Says = append([]string{"OVERSHOOT. At 5:00, line 152, addition 5, from 7.50 to 10.00 mL, took the pH from 7.11 to 7.30, 0.13 past the aim of 7.17. By the fitted curve the aim is at 8.42 mL: 0.92 mL would have been enough."}, l.Says...)
	assert.Contains(t, strings.Join(strings.Fields(logpage.Draw(l, 60, 20)), " "), "0.92 mL would have been enough")
}

// Where an aim is known its line is that of the plot.
func TestTheAimOfALogIsDrawn(t *testing.T) {
	l := logsWith("curve")
	l.Aim, l.Within, l.AimText = 5.5, 0.05, "aim"
	out := logpage.Draw(l, 80, 24)
	assert.Contains(t, out, " aim")
	assert.NotContains(t, out, "this reading")
}

// A message has its row to itself: "the volume is the total given so far (--sample-ml): the"
// was two sentences.
func TestAMessageHasItsRow(t *testing.T) {
	for _, name := range []string{"how", "curve"} {
		l := logsWith(name)
		for i := range 12 {
			l.Says = append(l.Says, fmt.Sprintf("a sentence that fills the whole row of a small screen, %d", i))
		}
		l.Message = "run 2 of 3"
		rows := strings.Split(logpage.Draw(l, 60, 20), "\n")
		assert.Equal(t, "run 2 of 3", strings.TrimSpace(rows[18]), name)
	}
}
