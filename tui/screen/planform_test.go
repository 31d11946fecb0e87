package screen_test

import (
	"errors"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/screen"
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

func (e *echo) Choose(v map[string]string) (string, []screen.PlanChoice, error) {
	if v["ph"] == "bad" {
		return "", nil, errors.New("nothing to choose from")
	}
	return "name points", []screen.PlanChoice{{Name: "one", Row: "one 1", Why: []string{"first"}}, {Name: "two", Row: "two 2", Why: []string{"second"}}}, nil
}

func (e *echo) Sheet(v map[string]string) (string, error) {
	return strings.Repeat("a line of the sheet\n", 60) + "the end", nil
}

func (e *echo) Save(v map[string]string) (string, error) {
	e.saved = v
	return "written to somewhere", nil
}

func form(e *echo) *screen.PlanForm {
	fields := []screen.PlanField{
		{Key: "ph", Label: "pH", Hint: "1 to 13"}, {Key: "ml", Label: "volume", Unit: "mL", Value: "500"},
		{Key: "buffer", Label: "buffer", Gap: true}, {Key: "way", Label: "way", Value: "a", Choices: []string{"a", "b"}},
	}
	return screen.NewPlanForm(e, fields, "buffer", &widget.Unicode)
}

func press(m *screen.PlanForm, keys ...string) (left bool) {
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
	assert.Contains(t, m.View(), "nothing to choose from")
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
				assert.Contains(t, m.View(), "> way", "%v: the line with the cursor is seen", size)
			}
		}
	}
}
