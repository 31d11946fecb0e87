package screen_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// TestLinuxConsoleHasEveryCharacter: with the characters for the Linux console no screen
// draws one that its font of 256 characters lacks; there such a one is a blot.
func TestLinuxConsoleHasEveryCharacter(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
		for _, s := range samples() {
			st := s.st
			st.Set = &widget.Console
			assert.Empty(t, string(screentest.Lacking(screen.Coach(st, size[0], size[1]))), "%s %v", s.name, size)
		}
		choice := menu.Menu{Title: "Titrate", Keys: keyrow.Menu("go on"), Set: &widget.Console}
		for i := range 3 {
			choice.Rows = append(choice.Rows, menu.Row{Left: fmt.Sprint(i), Text: "a buffer of 20 °C · 5 ± 1 µL", About: "pKa′ −0.01 – CO₂ “so” ≤ ‹1› 10⁻³"})
		}
		assert.Empty(t, string(screentest.Lacking(menu.Draw(choice, size[0], size[1]))), size)
		assert.Empty(t, string(screentest.Lacking(keyrow.Page("Titrate", choice.Keys, choice.Set, size[0], size[1]))), size)
	}
}
