package tui_test

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/terminal"
)

// BenchmarkKeyAmongReadings is one frame at 200 views a second, five of them
// with a key in their midst, drawn at the end of it: a frame has 25 ms. The key
// must show in that very frame.
func BenchmarkKeyAmongReadings(b *testing.B) {
	f := newFake()
	m := &bench{fake: f, m: tui.New(f, terminal.Options{})}
	m.send(tea.WindowSizeMsg{Width: 120, Height: 40})
	v := advising(400)
	n := 0
	for b.Loop() {
		for i := range 5 {
			v.T += 0.005
			m.show(v)
			if i == 2 {
				m.send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}})
				n++
			}
		}
		if s := m.screen(); n < 400 && !strings.Contains(s, "of 400") {
			b.Fatal("the key does not show in its frame:\n" + s)
		}
		if n == 399 {
			m.send(tea.KeyMsg{Type: tea.KeyEsc})
			n = 0
		}
	}
}
