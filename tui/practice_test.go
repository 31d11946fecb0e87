package tui_test

import (
	"bytes"
	"context"
	"io"
	"strings"
	"sync"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/screen"
)

func alone(ask bool) tui.Practice {
	return tui.Practice{Silent: true, Ask: ask, Asked: "asked", Goal: "Reach the aim alone.",
		Faults: []screen.MenuRow{{Text: "the stirrer stands still"}, {Text: "a crack in the bulb"}},
		Name: func(row int, _ float64, _ bool) (run.Intent, bool) {
			return run.Intent{Kind: run.WantRemark, Text: "named", Code: []string{"fault:unstirred", "fault:cracked"}[row]}, row == 1
		}}
}

// begin is a practice run that has been shown a view.
func begin(t *testing.T, p tui.Practice, v run.View) (tea.Model, *fake) {
	t.Helper()
	f := newFake()
	m := tui.NewPractice(f, p, tui.Options{})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	f.views <- v
	msg := m.Init()()
	m, _ = m.Update(msg)
	return m, f
}

func typeKeys(m tea.Model, keys string) tea.Model {
	for _, r := range keys {
		m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	return m
}

func enter(m tea.Model) tea.Model {
	m, _ = m.Update(tea.KeyMsg{Type: tea.KeyEnter})
	return m
}

// With the coach silent the screen gives nothing away, and drops are counted
// and recorded all the same.
func TestSilentPractice(t *testing.T) {
	m, f := begin(t, alone(false), advising(6))
	text := m.View()
	assert.Contains(t, text, "YOU decide")
	assert.Contains(t, text, "Reach the aim alone.")
	assert.NotContains(t, text, "ADD")
	m = enter(m)
	assert.Empty(t, f.wants(), "nothing is advised, so Enter alone records nothing")
	m = enter(typeKeys(m, "  "))
	require.Len(t, f.wants(), 1)
	assert.Equal(t, 2.0, f.wants()[0].Drops)
	m = typeKeys(m, "a")
	assert.Contains(t, m.View(), "there is no coach in this run")
}

// Asked, the coach answers until the next addition, and the asking is recorded.
func TestAskingTheCoach(t *testing.T) {
	m, f := begin(t, alone(true), advising(6))
	assert.Contains(t, m.View(), "a asks the coach")
	m = typeKeys(m, "a")
	assert.Contains(t, m.View(), "ADD")
	require.Len(t, f.wants(), 1)
	assert.Equal(t, "asked", f.wants()[0].Code)
}

// Naming a fault: chosen from a list, recorded; the last one ends the run.
func TestNamingAFault(t *testing.T) {
	m, f := begin(t, alone(false), advising(6))
	m = typeKeys(m, "f")
	assert.Contains(t, m.View(), "the stirrer stands still")
	m, _ = m.Update(tea.KeyMsg{Type: tea.KeyEsc})
	assert.Contains(t, m.View(), "nothing was named")
	m = enter(typeKeys(m, "f"))
	assert.Equal(t, "fault:unstirred", f.wants()[0].Code)
	m = enter(typeKeys(m, "fj"))
	got := f.wants()
	require.Len(t, got, 3)
	assert.Equal(t, "fault:cracked", got[1].Code)
	assert.Equal(t, run.WantEnd, got[2].Kind)
	assert.NotContains(t, m.View(), "What is wrong?")
}

// said is what was printed, by several goroutines.
type said struct {
	mu  sync.Mutex
	all bytes.Buffer
}

func (s *said) Write(b []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.all.Write(b)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.all.String()
}

// Without a screen the same in words; nothing of the advice is printed.
func TestPlainPractice(t *testing.T) {
	f := newFake()
	f.views <- advising(6)
	in, typed := io.Pipe()
	var out said
	ended := make(chan error, 1)
	go func() {
		ended <- tui.PlainPractice(context.Background(), f, alone(true), in, &out, tui.Options{ASCII: true})
	}()
	require.Eventually(t, func() bool { return strings.Contains(out.String(), "YOU decide") }, 20*time.Second, 5*time.Millisecond)
	assert.NotContains(t, strings.ToUpper(out.String()), "ADD 6")
	for _, line := range []string{"faults", "fault 9", "fault 1"} {
		io.WriteString(typed, line+"\n")
	}
	close(f.views)
	select {
	case err := <-ended:
		require.NoError(t, err)
	case <-time.After(20 * time.Second):
		require.Fail(t, "it does not end")
	}
	typed.Close()
	assert.NotContains(t, strings.ToUpper(out.String()), "ADD 6")
}
