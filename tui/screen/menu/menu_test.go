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

func sampleMenu() menu.Menu {
	m := menu.Menu{Title: "Practice", Facts: "the simulated bench", At: 9, Set: &widget.Unicode,
		Keys: []keyrow.Key{{Name: "↑ ↓", Short: "choose"}, {Name: "Enter", Short: "read the story"}, {Name: "q", Short: "leave"}}}
	for i := range 30 {
		m.Rows = append(m.Rows, menu.Row{Left: fmt.Sprintf("%2d", i+1), Text: "An exercise that was made up", Right: "level 2",
			About: "The kelp nursery wants a buffer by noon, and the old bottle is empty; what is weighed has dissolved, the stirrer turns."})
	}
	return m
}

func TestMenu(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		screentest.Golden(t, fmt.Sprintf("%dx%d", size[0], size[1]), menu.Draw(sampleMenu(), size[0], size[1]), size[0], size[1])
	}
}

// A menu keeps to its size, however small.
func TestMenuFits(t *testing.T) {
	for w := 1; w <= 90; w += 7 {
		for h := 1; h <= 30; h += 3 {
			screentest.Fits(t, menu.Draw(sampleMenu(), w, h), w, h)
		}
	}
	assert.Empty(t, menu.Draw(sampleMenu(), 0, 0))
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

	m.Side.Facts[2][1] = "in tolerance at 7.539"
	m.Side.Facts = append(m.Side.Facts, [2]string{"operator", "Kim"}, [2]string{"meters", "none remembered"}, [2]string{"bench", "nothing remembered yet"})
	out = menu.Draw(m, 60, 20)
	screentest.Fits(t, out, 60, 20)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "ended in tolerance at", "how it ended goes before the facts at the end")
	assert.Contains(t, out, "7.539")
}

// TestALongListSaysThatItGoesOn: of 37 exercises 16 showed at 80×24, and nothing said that
// there are others.
func TestALongListSaysThatItGoesOn(t *testing.T) {
	m := sampleMenu()
	assert.Contains(t, menu.Draw(m, 80, 24), " 10 of 30 ")
	m.Rows, m.At = m.Rows[:8], 2
	assert.NotContains(t, menu.Draw(m, 80, 24), " of 8 ")
}
