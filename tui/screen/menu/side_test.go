package menu_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// TestMenuSide: from 100 columns a menu has its details beside it, else below it where
// the list leaves room, and the rows are the same.
func TestMenuSide(t *testing.T) {
	p := &widget.Plot{Aim: 7.31, Tolerance: 0.02, AimText: "aim", XLabel: "min", YLabel: "pH", Points: []widget.Point{{X: 6, Y: 7.31}}}
	for i := range 61 {
		x := float64(i) / 10
		p.Curve = append(p.Curve, widget.CurvePoint{X: x, Y: 5.2 + x*0.35, Low: 5.2 + x*0.35, High: 5.2 + x*0.35})
	}
	for _, size := range [][2]int{{60, 20}, {80, 24}, {100, 30}, {120, 40}} {
		m := menu.Menu{Title: "halfdrop", Facts: "last: MOPS 20 mM", Airy: true, Set: &widget.Unicode,
			Rows: []menu.Row{{Left: "1", Text: "Plan a buffer", About: "From a target pH to what to weigh."}, {Left: "2", Text: "Look back on a run", Right: "7 runs"}},
			Keys: []keyrow.Key{{Name: "Enter", Short: "go on"}}}
		m.Side = &menu.Side{Title: "Last run", Facts: [][2]string{{"lasted", "6 min 2 s"}, {"ended", "in tolerance at 7.31"}}, Plot: p}
		out := menu.Draw(m, size[0], size[1])
		screentest.Golden(t, fmt.Sprintf("%dx%d", size[0], size[1]), out, size[0], size[1])
		assert.Contains(t, out, "From a target pH")
		assert.Contains(t, out, "7 runs")
		assert.Contains(t, out, "Last run")
		assert.Contains(t, out, "min", "the curve")
		for range 20 {
			m.Rows = append(m.Rows, m.Rows[1])
		}
		assert.Equal(t, size[0] >= 100, strings.Contains(menu.Draw(m, size[0], size[1]), "Last run"), "a long list at %v", size)
	}
}
