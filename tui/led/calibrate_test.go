package led_test

import (
	"bytes"
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/led"
	"example.org/halfdrop/tui/screen"
	_ "example.org/halfdrop/tui/screen/screentest" // no colours
	"example.org/halfdrop/tui/terminal"
)

// Keys come through as what the line mode would have typed, also when several
// arrive at once; the screen ends with the states. A key that closes the help does
// nothing else.
func TestCalibrateKeys(t *testing.T) {
	var pressed []string
	leader := func(_ context.Context, came <-chan string, show func(screen.Calibration)) error {
		show(screen.Calibration{Title: "Calibration of E7", Expect: math.NaN()})
		for len(pressed) == 0 || pressed[len(pressed)-1] != led.PressQuit {
			pressed = append(pressed, <-came)
		}
		return nil
	}
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	defer cancel()
	var out bytes.Buffer
	err := led.Calibrate(ctx, leader, terminal.Options{In: strings.NewReader("?\r\rxat2" + "3\x7f2,5\rtq"), Out: &out})
	require.NoError(t, err)
	require.NoError(t, ctx.Err(), "it ended by itself")
	assert.Equal(t, []string{led.PressIn, "22,5", led.PressQuit}, pressed)
	assert.True(t, strings.HasSuffix(out.String(), "\x1b[?1049l") || strings.Contains(out.String(), "\x1b[?1049l"), "the terminal is given back")
}

// A key that does nothing in a mood says so, and what was typed is answered.
func TestCalibrateIdleKeys(t *testing.T) {
	var pressed []string
	m := led.NewCalibrating(func(s string) { pressed = append(pressed, s) })
	m, _ = m.Update(tea.WindowSizeMsg{Width: 60, Height: 20})
	key := func(k string) string {
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
		if k == "enter" {
			msg = tea.KeyMsg{Type: tea.KeyEnter}
		}
		m, _ = m.Update(msg)
		return m.View()
	}
	for _, c := range []struct {
		mood      screen.Mood
		key, says string
	}{{screen.DoNow, "t", "t does nothing here; ? shows all keys"}, {screen.DoNow, " ", "Space does nothing here"}, {screen.DoNow, "x", "x does nothing here"}, {screen.LetBe, "enter", "the electrode is in: leave it"},
		{screen.LookAt, "enter", "enter does nothing here"}, {screen.LookAt, "a", ""}, {screen.LetBe, "t", ""}, {screen.Offered, "a", "a does nothing here"}} {
		m, _ = m.Update(screen.Calibration{Mood: c.mood, Expect: math.NaN()})
		pressed = nil
		shown := key(c.key)
		if c.says == "" {
			assert.Len(t, pressed, 1, c.key)
			assert.NotContains(t, shown, "does nothing here")
			continue
		}
		assert.Empty(t, pressed, c.key)
		assert.Contains(t, shown, c.says)
		m, _ = m.Update(screen.Calibration{Mood: c.mood, Expect: math.NaN()})
		assert.Contains(t, m.View(), c.says, "it stays while readings come")
	}
	m, _ = m.Update(screen.Calibration{Mood: screen.DoNow, Message: "the standards are at 21.5 °C, typed", Expect: math.NaN()})
	key("9")
	m, _ = m.Update(tea.KeyMsg{Type: tea.KeyBackspace})
	m, _ = m.Update(screen.Calibration{Mood: screen.DoNow, Message: "the standards are at 21.5 °C, typed", Expect: math.NaN()})
	assert.Contains(t, m.View(), "the standards are at 21.5 °C, typed")
}

// What was said of a key goes with the moment it was about: beside a CHECK of the beaker,
// "leave it" would be the wrong thing to do.
func TestAToldKeyGoesWithItsMood(t *testing.T) {
	m := led.NewCalibrating(func(string) {})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	m, _ = m.Update(screen.Calibration{Mood: screen.LetBe, Expect: math.NaN()})
	m, _ = m.Update(tea.KeyMsg{Type: tea.KeyEnter})
	assert.Contains(t, m.View(), "leave it until the reading is taken")
	m, _ = m.Update(screen.Calibration{Mood: screen.LookAt, Expect: math.NaN()})
	assert.NotContains(t, m.View(), "leave it until the reading is taken")
}

// While one that was broken off is offered, the keys decide that and nothing else.
func TestCalibrateOfferKeys(t *testing.T) {
	var pressed []string
	m := led.NewCalibrating(func(s string) { pressed = append(pressed, s) })
	m, _ = m.Update(screen.Calibration{Mood: screen.Offered, Expect: math.NaN()})
	for _, r := range "at25n" {
		m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	m, _ = m.Update(tea.KeyMsg{Type: tea.KeyEnter})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	assert.Equal(t, []string{led.PressNew, led.PressIn}, pressed)
	assert.Contains(t, m.View(), "n from the start")
	m, _ = m.Update(screen.Calibration{Mood: screen.DoNow, Expect: math.NaN()})
	assert.NotContains(t, m.View(), "n from the start")
}

// The row of keys names what can be done now: while a reading settles the electrode is
// in already, and before that there is no value to accept.
func TestCalibrationHints(t *testing.T) {
	m := led.NewCalibrating(func(string) {})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 60, Height: 20})
	for _, c := range []struct {
		mood      screen.Mood
		has, hasn string
	}{{screen.DoNow, "Enter it is in", "t accept now"}, {screen.LetBe, "t accept now", "Enter it is in"},
		{screen.LookAt, "a again  t accept now", "Enter it is in"}} {
		m, _ = m.Update(screen.Calibration{Mood: c.mood, Expect: math.NaN()})
		assert.Contains(t, m.View(), c.has)
		assert.Contains(t, m.View(), "? keys")
		assert.NotContains(t, m.View(), c.hasn)
	}
}

// The way back is named once there is a standard to go back to.
func TestBackIsNamedOnceSomethingWasAccepted(t *testing.T) {
	m := led.NewCalibrating(func(string) {})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	for _, mood := range []screen.Mood{screen.DoNow, screen.LetBe, screen.LookAt} {
		for value, named := range map[string]bool{"": false, "−0.9 mV": true} {
			m, _ = m.Update(screen.Calibration{Mood: mood, Expect: math.NaN(), Dips: []screen.Dip{{Name: "7.00", Value: value}, {Name: "4.01"}}})
			assert.Equal(t, named, strings.Contains(m.View(), "u back"))
		}
	}
}

// Every key has words.
func TestCalibrationKeysHaveWords(t *testing.T) {
	for _, k := range slices.Concat(led.CalibrationKeys, led.OfferKeys) {
		assert.NotEmpty(t, k.Name)
		assert.NotEmpty(t, k.Short)
		assert.NotEmpty(t, k.Does)
	}
}
