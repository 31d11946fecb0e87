package planform_test

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// TestLinuxConsoleHasEveryCharacter of the form, see that of the other screens.
func TestLinuxConsoleHasEveryCharacter(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
		for _, page := range planPages {
			m := fullForm(&widget.Console)
			m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
			press(m, page.Keys...)
			assert.Empty(t, string(screentest.Lacking(m.View())), "%s %v", page.Name, size)
		}
	}
}
