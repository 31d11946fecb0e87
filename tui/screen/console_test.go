package screen_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"golang.org/x/text/encoding/charmap"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/widget"
)

// signs are what the font of the Linux console draws in the places of the control
// characters, as the screen of a PC has done (code page 437).
const signs = "☺☻♥♦♣♠•◘○◙♂♀♪♫☼►◄↕‼¶§▬↨↑↓→←∟↔▲▼⌂"

// alsoThere are other characters that the console's font takes one of its own for:
// cp437.uni of Linux (drivers/tty/vt) has them.
const alsoThere = "×µ"

// lacking are the characters of a screen that the default font of the Linux console
// does not have.
func lacking(view string) (out []rune) {
	for _, r := range ansi.Strip(view) {
		if r < 0x80 || strings.ContainsRune(signs+alsoThere, r) {
			continue
		}
		if _, ok := charmap.CodePage437.EncodeRune(r); !ok && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return out
}

// TestLinuxConsoleHasEveryCharacter: with the characters for the Linux console no screen
// draws one that its font of 256 characters lacks; there such a one is a blot.
func TestLinuxConsoleHasEveryCharacter(t *testing.T) {
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}, {200, 60}} {
		for _, s := range samples() {
			st := s.st
			st.Set = &widget.Console
			assert.Empty(t, string(lacking(screen.Coach(st, size[0], size[1]))), "%s %v", s.name, size)
		}
		for _, page := range planPages {
			m := fullForm(&widget.Console)
			m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
			press(m, page.keys...)
			assert.Empty(t, string(lacking(m.View())), "%s %v", page.name, size)
		}
		menu := screen.Menu{Title: "Titrate", Keys: keyrow.Menu("go on"), Set: &widget.Console}
		for i := range 3 {
			menu.Rows = append(menu.Rows, screen.MenuRow{Left: fmt.Sprint(i), Text: "a buffer of 20 °C · 5 ± 1 µL", About: "pKa′ −0.01 – CO₂ “so” ≤ ‹1› 10⁻³"})
		}
		assert.Empty(t, string(lacking(screen.Choose(menu, size[0], size[1]))), size)
		assert.Empty(t, string(lacking(keyrow.Page("Titrate", menu.Keys, menu.Set, size[0], size[1]))), size)
	}
}
