package playback_test

import (
	"errors"
	"fmt"
	"maps"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/playback"
	"example.org/halfdrop/tui/screen/logpage"
	"example.org/halfdrop/tui/terminal"
)

// shelf reads one invented log as it is told, and remembers what it was told.
type shelf struct{ told []playback.LogChoice }

func (s *shelf) read(c playback.LogChoice) (playback.LogPage, error) {
	c.Column = maps.Clone(c.Column)
	s.told = append(s.told, c)
	if c.Column["volume"] == "3" {
		return playback.LogPage{}, errors.New("column 3 is no volume")
	}
	page := playback.LogPage{Name: "a.csv", Runs: 2, XLabel: "mL", Columns: []logpage.Column{{Name: "mL", Use: "volume"}, {Name: "a", Use: "not used"}, {Name: "b", Use: "not used"}},
		Rows: [][]string{{"0", "3", "4"}}, Lines: []int{2}}
	if c.Column["ph"] == "" {
		page.Question = "several columns may be the pH: a, b."
		return page, nil
	}
	for i := range 30 {
		page.Points = append(page.Points, playback.LogPoint{X: float64(i), PH: 3 + 0.1*float64(i), Words: fmt.Sprintf("%d mL", i)})
	}
	page.Curve = page.Points
	return page, nil
}

func shelved(t *testing.T, keys ...string) (*shelf, string) {
	t.Helper()
	s := &shelf{}
	m, err := playback.NewReplayLog(s.read, terminal.Options{})
	require.NoError(t, err)
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	for _, k := range keys {
		m, _ = m.Update(keyed(k))
	}
	return s, ansi.Strip(m.View())
}

// A question is answered by a key on the column, and then the curve can be seen and
// stepped through.
func TestLogIsAskedAboutAndSteppedThrough(t *testing.T) {
	_, view := shelved(t)
	assert.Contains(t, view, "several columns may be the pH")
	_, view = shelved(t, "enter")
	assert.Contains(t, view, "first answer the question above")
	s, view := shelved(t, "right", "p")
	assert.Equal(t, "2", s.told[len(s.told)-1].Column["ph"])
	assert.NotContains(t, view, "several columns")
	_, view = shelved(t, "right", "p", "enter")
	assert.Contains(t, view, "reading 1 of 30: 0 mL")
	_, view = shelved(t, "right", "p", "enter", "right", "pgdown", "left")
	assert.Contains(t, view, "reading 11 of 30: 10 mL")
	_, view = shelved(t, "right", "p", "enter", "end", "right")
	assert.Contains(t, view, "reading 30 of 30", "the last is the last")
	_, view = shelved(t, "right", "p", "enter", "enter")
	assert.Contains(t, view, "line")
}

// Columns, what the volume counts and the run can be said otherwise; what cannot be
// read changes nothing.
func TestLogIsCorrectedByKeys(t *testing.T) {
	s, view := shelved(t, "right", "p", "k", "k", "r")
	last := s.told[len(s.told)-1]
	assert.Equal(t, "each", last.Volume)
	assert.Equal(t, 2, last.Run)
	assert.Contains(t, view, "run 2 of 2")
	s, _ = shelved(t, "right", "p", "home", "-")
	assert.Equal(t, "-", s.told[len(s.told)-1].Column["volume"])
	_, view = shelved(t, "right", "p", "right", "v")
	assert.Contains(t, view, "column 3 is no volume")
	_, view = shelved(t, "right", "p", "right", "-")
	assert.Contains(t, view, "it is not used as it is")
	_, view = shelved(t, "x")
	assert.Contains(t, view, "? shows all keys")
	_, view = shelved(t, "?")
	assert.Contains(t, view, "Keys for the log")
}

// o goes to the reading with which the aim was passed, and says why not where there is none.
func TestTheOvershootOfALogIsFound(t *testing.T) {
	show := func(aimed bool, over int) string {
		m, err := playback.NewReplayLog(func(playback.LogChoice) (playback.LogPage, error) {
			page, err := (&shelf{}).read(playback.LogChoice{Column: map[string]string{"ph": "2"}})
			page.Aimed, page.Aim, page.Within, page.Over = aimed, 4.5, 0.05, over
			return page, err
		}, terminal.Options{})
		require.NoError(t, err)
		m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
		before := ansi.Strip(m.View())
		assert.Equal(t, over > 0, strings.Contains(before, "o overshoot"), before)
		m, _ = m.Update(keyed("o"))
		return ansi.Strip(m.View())
	}
	assert.Contains(t, show(true, 17), "reading 17 of 30")
	assert.Contains(t, show(true, 0), "no overshoot was found")
	assert.Contains(t, show(false, 0), "the log does not say what was aimed at; --aim does")
}
