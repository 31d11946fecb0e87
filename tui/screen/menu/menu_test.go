package menu_test

import (
	"example.org/halfdrop/tui/screen/menu"
	"fmt"
	"testing"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
	"github.com/stretchr/testify/assert"
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
