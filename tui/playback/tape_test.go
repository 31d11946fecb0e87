package playback_test

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/playback"
	"example.org/halfdrop/tui/terminal"
)

// reel is an invented run of ten minutes.
type reel struct{ asked []float64 }

func (r *reel) View(t float64, _ view.View) view.View {
	r.asked = append(r.asked, t)
	v := view.View{Name: "MOPS 20 mM, invented", Target: 7.20, Tolerance: 0.02, Titrants: []string{"NaOH 1 M"}, PerLitre: []float64{1}, HasReading: true, PH: 6.91, Decimals: 2}
	v.T = t
	return v
}

func (r *reel) Seconds() float64 { return 600 }

func (r *reel) Ready() <-chan struct{} {
	done := make(chan struct{})
	close(done)
	return done
}

func (r *reel) Stops() []playback.Stop {
	return []playback.Stop{
		{T: 40, Done: "addition 1: 12 drops of acid; advised: add 12 drops of acid"},
		{T: 130, Done: "addition 2: 30 drops of acid; advised: add 9 drops of acid", Story: "At 2:10 addition 2 went too far, because it was large."},
		{T: 300, Done: "addition 3: 2 drops of base; advised: add 2 drops of base"},
	}
}

// keyed is a message for a key by its bubbletea name.
func keyed(name string) tea.KeyMsg {
	special := map[string]tea.KeyType{"right": tea.KeyRight, "left": tea.KeyLeft, "enter": tea.KeyEnter, "home": tea.KeyHome,
		"end": tea.KeyEnd, "pgdown": tea.KeyPgDown, "pgup": tea.KeyPgUp, "esc": tea.KeyEsc, "up": tea.KeyUp, "backspace": tea.KeyBackspace}
	if k, ok := special[name]; ok {
		return tea.KeyMsg{Type: k}
	}
	if name == "space" {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(name)}
}

func look(t *testing.T, w, h int, keys ...string) (string, *reel) {
	t.Helper()
	r := &reel{}
	m := playback.NewReplay(r, terminal.Options{})
	m, _ = m.Update(tea.WindowSizeMsg{Width: w, Height: h})
	for _, k := range keys {
		m, _ = m.Update(keyed(k))
	}
	return m.View(), r
}

func TestReplayStepsByAddition(t *testing.T) {
	for keys, want := range map[string]float64{
		"right": 40, "n n": 130, "n n n": 300, "n n n n": 300, "n n left": 40, "o": 130, "o o": 130,
		"end": 600, "end home": 0, "end p": 300, "l": 5, "l l e": 5, "pgdown pgdown pgup": 60,
		"g 9 0 enter": 90, "g 1 : 3 0 enter": 90, "g 9 9 9 9 enter": 600, "g x enter": 0, "g 5 esc": 0, "ne": 35,
	} {
		_, r := look(t, 80, 24, strings.Fields(keys)...)
		assert.Equal(t, want, r.asked[len(r.asked)-1], keys)
	}
}

func TestReplayShowsDeedAndStory(t *testing.T) {
	text, _ := look(t, 80, 24, "n")
	assert.Contains(t, text, "12 drops of acid")
	assert.NotContains(t, text, "too far")
	text, _ = look(t, 80, 24, "o")
	assert.Contains(t, text, "advised: add 9 drops of acid")
	assert.Contains(t, text, "went too far")
	text, _ = look(t, 80, 24, "n", "n", "n", "n")
	assert.Contains(t, text, "no addition after this")
	text, _ = look(t, 80, 24, "n", "w")
	assert.Contains(t, text, "nothing to explain here")
	text, _ = look(t, 80, 24, "o", "w")
	assert.NotContains(t, text, "nothing to explain here")
	text, _ = look(t, 80, 24, "?")
	assert.Contains(t, text, "went past its aim")
	text, _ = look(t, 80, 24, "g", "7")
	assert.Contains(t, text, "go to: 7")
	text, _ = look(t, 80, 24, "g", ":", "enter")
	assert.Contains(t, text, "is not a time")
	text, _ = look(t, 80, 24, "z")
	assert.Contains(t, text, "does nothing here")
}

func TestReplayPlays(t *testing.T) {
	r := &reel{}
	m := playback.NewReplay(r, terminal.Options{})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	m, _ = m.Update(keyed("+")) // 20 times
	m, _ = m.Update(m.Init()())
	m, cmd := m.Update(keyed("space"))
	require.NotNil(t, cmd)
	for range 4 { // frames come when they come; what counts is the time they carry
		msg := cmd()
		m, cmd = m.Update(msg)
		require.NotNil(t, cmd)
	}
	at := r.asked[len(r.asked)-1]
	assert.Greater(t, at, 3*20*0.08)
	assert.Contains(t, m.View(), "replay 20x, playing")
	m, _ = m.Update(keyed("space"))
	_, cmd = m.Update(cmd())
	assert.Nil(t, cmd, "paused")
	assert.Equal(t, at, r.asked[len(r.asked)-1])
}

func TestReplayFitsAnySize(t *testing.T) {
	for _, size := range [][2]int{{1, 1}, {20, 3}, {40, 8}, {60, 20}, {80, 24}, {120, 40}, {200, 60}} {
		for _, keys := range []string{"", "o", "o w", "?", "g 1"} {
			text, _ := look(t, size[0], size[1], strings.Fields(keys)...)
			lines := strings.Split(text, "\n")
			assert.LessOrEqual(t, len(lines), size[1], "%v %s", size, keys)
			for _, l := range lines {
				assert.LessOrEqual(t, lipgloss.Width(l), size[0], "%v %s: %q", size, keys, l)
			}
		}
	}
}
