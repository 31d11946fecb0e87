package planform_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/screen/planform"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/widget"
)

// echo is a planner that finds fault with "bad" and repeats what it gets.
type echo struct{ saved map[string]string }

func (e *echo) Look(v map[string]string) (map[string]string, []string) {
	faults := map[string]string{}
	for k, x := range v {
		if strings.Contains(x, "bad") {
			faults[k] = "bad is no value; good is"
		}
	}
	return faults, []string{"looked at " + v["ph"]}
}

func (e *echo) Choose(v map[string]string) (string, []planform.Choice, error) {
	if v["ph"] == "bad" {
		return "", nil, errors.New("nothing to choose from")
	}
	return "name points", []planform.Choice{{Name: "one", Row: "one 1", Why: []string{"first"}}, {Name: "two", Row: "two 2", Why: []string{"second"}}}, nil
}

func (e *echo) Sheet(v map[string]string) (string, error) {
	return strings.Repeat("a line of the sheet\n", 60) + "the end", nil
}

func (e *echo) Save(v map[string]string) (string, error) {
	e.saved = v
	return "written to somewhere", nil
}

func form(e *echo) *planform.Form {
	fields := []planform.Field{
		{Key: "ph", Label: "pH", Hint: "1 to 13"}, {Key: "ml", Label: "volume", Unit: "mL", Value: "500"},
		{Key: "buffer", Label: "buffer", Gap: true}, {Key: "way", Label: "way", Value: "a", Choices: []string{"a", "b"}},
	}
	return planform.New(e, fields, "buffer", &widget.Unicode)
}

func press(m *planform.Form, keys ...string) (left bool) {
	named := map[string]tea.KeyType{"up": tea.KeyUp, "down": tea.KeyDown, "left": tea.KeyLeft, "right": tea.KeyRight, "enter": tea.KeyEnter,
		"esc": tea.KeyEsc, "f2": tea.KeyF2, "f3": tea.KeyF3, "back": tea.KeyBackspace, "end": tea.KeyEnd, "ctrl+c": tea.KeyCtrlC}
	for _, k := range keys {
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
		if t, ok := named[k]; ok {
			msg = tea.KeyMsg{Type: t}
		}
		_, cmd := m.Update(msg)
		if cmd != nil && (k == "esc" || k == "ctrl+c") {
			if _, ok := cmd().(tea.QuitMsg); ok {
				return true
			}
		}
	}
	return false
}

func TestPlanFormTakesValues(t *testing.T) {
	e := &echo{}
	m := form(e)
	press(m, "7.4", "down", "2", "50", "down", "down", "right")
	assert.Equal(t, map[string]string{"ph": "7.4", "ml": "250", "buffer": "", "way": "b"}, m.Values(), "typing takes the place of the usual value")
	press(m, "right", "up", "up", "back")
	assert.Equal(t, "25", m.Values()["ml"], "a key that edits keeps it")
	assert.Equal(t, "a", m.Values()["way"], "choices go round")
	press(m, "f2", "down", "enter")
	assert.Equal(t, "two", m.Values()["buffer"])
	press(m, "f3", "end")
	assert.Contains(t, m.View(), "the end")
	press(m, "w")
	assert.Equal(t, "7.4", e.saved["ph"])
	assert.Contains(t, m.View(), "written to somewhere")
	assert.False(t, press(m, "esc"), "back to the form")
	assert.True(t, press(m, "esc"), "and out")
	assert.True(t, press(form(e), "f3", "ctrl+c"))
}

func TestPlanFormShowsTheFaultBesideItsField(t *testing.T) {
	m := form(&echo{})
	press(m, "bad")
	row := ""
	for line := range strings.Lines(m.View()) {
		if strings.Contains(line, "> pH") || strings.Contains(line, "pH  ") {
			row = line
		}
	}
	assert.Contains(t, row, "! bad is no value")
	press(m, "f2")
	assert.Contains(t, m.View(), "first correct what is marked !")
}

func TestPlanFormFitsEverySize(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {60, 20}, {40, 10}, {120, 40}, {20, 5}, {1, 1}} {
		for _, keys := range [][]string{nil, {"bad"}, {"f2"}, {"f3"}} {
			m := form(&echo{})
			m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
			press(m, keys...)
			lines := strings.Split(m.View(), "\n")
			require.LessOrEqual(t, len(lines), size[1], "%v %v", size, keys)
			for _, l := range lines {
				require.LessOrEqual(t, lipgloss.Width(l), size[0], "%v %v: %q", size, keys, l)
			}
			if size[0] >= 40 && keys == nil {
				press(m, "down", "down", "down")
				assert.Contains(t, m.View(), "▼ way", "%v: the line with the cursor is seen", size)
			}
		}
	}
}

// TestPlanEscAsks: what was entered is not thrown away unasked; an untouched or a
// saved form is left at once.
func TestPlanEscAsks(t *testing.T) {
	assert.True(t, press(form(&echo{}), "esc"), "nothing was entered")
	m := form(&echo{})
	assert.False(t, press(m, "7.4", "esc"))
	assert.Contains(t, m.View(), "Leave the form?")
	m.Update(tea.WindowSizeMsg{Width: 60, Height: 20})
	assert.Contains(t, m.View(), "Leave the form? y or n", "in one row at 60 columns")
	assert.NotContains(t, m.View(), "Everything else", "one question at a time")
	m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	assert.Equal(t, "7.4", m.Values()["ph"])
	assert.False(t, press(m, "x", "n"), "no, and a key that is no answer")
	assert.NotContains(t, m.View(), "Leave the form?")
	assert.Equal(t, "7.4", m.Values()["ph"])
	_, cmd := m.Update(tea.KeyMsg{Type: tea.KeyEsc})
	require.Nil(t, cmd)
	_, cmd = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("y")})
	require.NotNil(t, cmd)
	assert.Equal(t, tea.QuitMsg{}, cmd())
	m = form(&echo{})
	assert.False(t, press(m, "7.4", "ctrl+c"), "Ctrl-C asks as well")
	assert.True(t, press(m, "ctrl+c"), "and is taken the second time")
	m = form(&echo{})
	assert.True(t, press(m, "7.4", "f3", "w", "esc", "esc"), "it was saved")
}

// carded is a planner with a card.
type carded struct{ written }

func (carded) Card(v map[string]string) *planform.Card {
	if v["ph"] == "" {
		return nil
	}
	p := &widget.Plot{Aim: 7.39, Tolerance: 0.05, AimText: "aim 7.39", XLabel: "mL NaOH 1 M", YLabel: "pH"}
	for i := range 41 {
		x := float64(i) / 2
		p.Curve = append(p.Curve, widget.CurvePoint{X: x, Y: 5.4 + x/6, Low: 5.4 + x/6, High: 5.4 + x/6})
	}
	return &planform.Card{Title: "HEPES 50 mM pH " + v["ph"] + " at 25 °C", Facts: "HEPES, pKa′ 7.50; capacity 29 mM per pH; dpH/dT −0.012 per °C; ionic strength 22 mM",
		Rows:  [][3]string{{"weigh", "5.958 g", "HEPES"}, {"water", "396 mL", "to start with"}, {"titrate", "≈ 11 mL", "NaOH 1 M, up from pH 5.3"}, {"make up", "500 mL", "the mark"}},
		Notes: []string{"makes peroxide in the light; keep it dark"}, Plot: p}
}

// TestPlanCard: from 100 columns the recipe and its curve stand beside the form, and
// nothing of them below that; the form is the same.
func TestPlanCard(t *testing.T) {
	for _, size := range [][2]int{{80, 24}, {100, 30}, {120, 40}, {200, 60}} {
		m := fullFormOf(carded{}, &widget.Unicode)
		m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		press(m, "7.4", "down")
		out := m.View()
		screentest.Golden(t, fmt.Sprintf("filled %dx%d", size[0], size[1]), out, size[0], size[1])
		assert.Equal(t, size[0] >= 100, strings.Contains(out, "5.958 g  HEPES"), out)
		assert.Contains(t, out, "temperature of use", out)
		assert.Contains(t, out, "plan file", out)
	}
}

// ? lists the keys of the page and types nothing; the key that goes back does nothing
// else, and what was entered is kept.
func TestPlanFormHasKeysOnQuestion(t *testing.T) {
	for _, page := range []struct{ keys, words string }{{"", "the list of buffers with their reasons"}, {"f2", "one buffer up or down"}, {"f3", "write the plan file"}} {
		m := form(&echo{})
		m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
		press(m, "7", "4")
		if page.keys != "" {
			press(m, page.keys)
		}
		require.Contains(t, m.View(), "? keys")
		press(m, "?")
		assert.Contains(t, m.View(), page.words)
		assert.False(t, press(m, "esc"), "it only goes back")
		assert.NotContains(t, m.View(), page.words)
		assert.Equal(t, "74", m.Values()["ph"])
	}
}

// The form has the margin of the other screens.
func TestPlanFormHasAMargin(t *testing.T) {
	m := form(&echo{})
	for _, page := range []string{"", "f2", "esc", "f3"} {
		if page != "" {
			press(m, page)
		}
		m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
		for _, line := range strings.Split(m.View(), "\n") {
			plain := ansi.Strip(line)
			assert.LessOrEqual(t, lipgloss.Width(line), 80)
			assert.True(t, plain == "" || strings.HasPrefix(plain, " ") || strings.HasPrefix(plain, "──"), "%q", plain)
		}
	}
}

// TestTheLineBeingTypedIsSeenWithoutColours: the cursor of the library is a colour alone.
func TestTheLineBeingTypedIsSeenWithoutColours(t *testing.T) {
	m := planform.New(written{}, []planform.Field{{Key: "ph", Label: "pH in use", Value: "7.4"}, {Key: "ml", Label: "volume", Value: "500"}}, "", &widget.Unicode)
	assert.Regexp(t, `pH in use +7\.4_ `, m.View())
	m.Update(tea.KeyMsg{Type: tea.KeyLeft})
	assert.Regexp(t, `pH in use +7\._4 `, m.View())
	m.Update(tea.KeyMsg{Type: tea.KeyDown})
	assert.Regexp(t, `volume +500_ `, m.View())
	for range 30 {
		m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("8")})
	}
	assert.Regexp(t, `volume +…8+_ `, m.View(), "the end is seen, where it is typed")
}

// TestLinesBelowAreNotForgotten: where not all lines fit it is said which are shown.
func TestLinesBelowAreNotForgotten(t *testing.T) {
	var fields []planform.Field
	for i := range 16 {
		fields = append(fields, planform.Field{Key: fmt.Sprint(i), Label: "line", Hint: "1 to 13, at the temp. of use"})
	}
	m := planform.New(written{}, fields, "", &widget.Unicode)
	m.Update(tea.WindowSizeMsg{Width: 60, Height: 20})
	assert.Contains(t, m.View(), "1 to 13, at the temp. of use ──────── lines 1–15 of 16 ──")
	m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	assert.NotContains(t, m.View(), "lines 1")
}

// TestReasonsThatGoOnSaySo: where the reasons of a buffer do not all fit, the last row says
// that there are more.
func TestReasonsThatGoOnSaySo(t *testing.T) {
	m := planform.New(written{}, []planform.Field{{Key: "ph", Label: "pH in use", Value: "7.4"}}, "", &widget.Unicode)
	shown := func(h int) string {
		m.Update(tea.WindowSizeMsg{Width: 60, Height: h})
		rows := strings.Split(strings.TrimRight(m.View(), " \n"), "\n")
		return strings.TrimSpace(rows[len(rows)-2])
	}
	m.Update(tea.KeyMsg{Type: tea.KeyF2})
	assert.Regexp(t, `[^ ] …$`, shown(10))
	assert.NotContains(t, shown(24), "…")
}
