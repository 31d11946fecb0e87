package tui_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
	"sync"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/terminal"
)

func alone(ask bool) tui.Practice {
	return tui.Practice{Silent: true, Ask: ask, Asked: "asked", Goal: "Reach the aim alone.",
		Faults: []menu.Row{{Text: "the stirrer has stopped"}, {Text: "a crack in the bulb"}},
		Name: func(row int, by tui.Evidence) (intent.Intent, bool) {
			return intent.Intent{Kind: intent.Remark, Text: "named", Code: fmt.Sprintf("%s %.0f %v", []string{"unstirred", "cracked"}[row], by.At, by.Addition) + []string{"", " higher", " lower"}[by.Way+1]}, row == 1
		}}
}

// begin is a practice run that has been shown a view.
func begin(t *testing.T, p tui.Practice, v view.View) (tea.Model, *fake) {
	t.Helper()
	f := newFake()
	m := tui.NewPractice(f, p, terminal.Options{})
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
	assert.Contains(t, m.View(), "no coach in this run")
}

// Asked, the coach answers until the next addition, and the asking is recorded.
func TestAskingTheCoach(t *testing.T) {
	told := alone(true)
	told.Goal = "Reach the aim. a asks the coach."
	m, _ := begin(t, told, advising(6))
	assert.Equal(t, 1, strings.Count(m.View(), "a asks"), "its own words say so")
	m, f := begin(t, alone(true), advising(6))
	assert.Contains(t, m.View(), "a asks the coach")
	m = typeKeys(m, "a")
	assert.Contains(t, m.View(), "ADD")
	require.Len(t, f.wants(), 1)
	assert.Equal(t, "asked", f.wants()[0].Code)
}

// pointing is a practice run that has gone on for some seconds, with an addition.
func pointing(t *testing.T) (tea.Model, *fake) {
	t.Helper()
	v := advising(6)
	v.Age = 0
	v.T, v.PH = 20, 7.00
	m, f := begin(t, alone(false), v)
	v.Entries = []view.Entry{{Seq: 9, T: 22, Drops: 6, Volume: 0.3 * chem.Millilitre}}
	for i := range 10 {
		v.T, v.PH = 23+float64(i), 7.00+0.01*float64(i)
		m, _ = m.Update(tui.Seen(v))
	}
	return m, f
}

func press(m tea.Model, keys ...tea.KeyType) tea.Model {
	for _, k := range keys {
		m, _ = m.Update(tea.KeyMsg{Type: k})
	}
	return m
}

// A fault is named by what shows it: a reading or an addition, pointed at on the
// trace. The last one to be found ends the run.
func TestNamingAFault(t *testing.T) {
	m, f := pointing(t)
	m = typeKeys(m, "f")
	assert.Contains(t, m.View(), "What shows it?")
	assert.Contains(t, m.View(), "Points at the reading of 00:32: pH 7.09")
	m = press(m, tea.KeyLeft, tea.KeyLeft)
	assert.Contains(t, m.View(), "00:30")
	assert.Contains(t, m.View(), "8 s after addition 1")
	m = enter(m)
	assert.Contains(t, m.View(), "by the reading of 00:30; a wrong name costs")
	assert.Contains(t, m.View(), "the stirrer has stopped")
	m = press(m, tea.KeyEsc)
	assert.Contains(t, m.View(), "What shows it?", "back to the readings")
	m = press(m, tea.KeyEsc)
	assert.Contains(t, m.View(), "nothing was named")
	assert.Empty(t, f.wants())

	m = enter(enter(press(typeKeys(m, "f"), tea.KeyLeft, tea.KeyLeft)))
	assert.Equal(t, "unstirred 30 false", f.wants()[0].Code)
	m = enter(enter(press(typeKeys(m, "f"), tea.KeyTab)))
	assert.Equal(t, "unstirred 22 true", f.wants()[1].Code)
	m = enter(typeKeys(m, "fnj"))
	got := f.wants()
	require.Len(t, got, 4)
	assert.Equal(t, "cracked NaN false", got[2].Code, "without evidence it can be named, too")
	assert.Equal(t, intent.End, got[3].Kind)
	assert.NotContains(t, m.View(), "What is wrong?")
}

// What is left to do stands in place of the goal.
func TestWhatIsLeftToDo(t *testing.T) {
	p, left := alone(false), ""
	p.Now = func() string { return left }
	m, _ := begin(t, p, advising(6))
	assert.Contains(t, m.View(), "Reach the aim alone.")
	left = "Now finish the buffer."
	m, _ = m.Update(tui.Seen(advising(6)))
	assert.Contains(t, m.View(), "Now finish the buffer.")
	assert.NotContains(t, m.View(), "Reach the aim alone.")
}

// Who is asked whether to end the run is told of leaving it, and can.
func TestLeavingInsteadOfEnding(t *testing.T) {
	m, f := begin(t, alone(false), advising(6))
	m = typeKeys(m, "q")
	assert.Contains(t, m.View(), "x leave, to resume later")
	assert.Contains(t, m.View(), "End the run? y or n")
	assert.NotContains(t, m.View(), "before its aim", "that it is not reached is for the pupil to find")
	_, cmd := m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'x'}})
	require.NotNil(t, cmd)
	assert.Equal(t, tea.Quit(), cmd())
	assert.Empty(t, f.wants())
}

// x leaves the run as it stands: nothing closes it.
func TestLeavingPractice(t *testing.T) {
	m, f := begin(t, alone(false), advising(6))
	_, cmd := m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'x'}})
	require.NotNil(t, cmd)
	assert.Equal(t, tea.Quit(), cmd())
	assert.Empty(t, f.wants())
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

// plainly does a practice run in lines of text and is what it said.
func plainly(t *testing.T, f *fake, p tui.Practice, v view.View, lines ...string) string {
	t.Helper()
	f.views <- v
	in, typed := io.Pipe()
	var out said
	ended := make(chan error, 1)
	go func() {
		ended <- tui.PlainPractice(context.Background(), f, p, in, &out, terminal.Options{ASCII: true})
	}()
	for _, line := range lines {
		io.WriteString(typed, line+"\n")
	}
	io.WriteString(typed, "x\n")
	select {
	case err := <-ended:
		require.NoError(t, err)
	case <-time.After(20 * time.Second):
		require.Fail(t, "it does not end")
	}
	typed.Close()
	return out.String()
}

// Without a screen the same in words, with the keys of the screen; nothing of the
// advice is printed. What is typed before the first view is kept for it.
func TestPlainPractice(t *testing.T) {
	v := advising(6)
	v.T, v.Age, v.PH = 100, 0, 7.07
	v.Entries = []view.Entry{{Seq: 9, T: 90, Drops: 6, Volume: 0.3 * chem.Millilitre}}
	f := newFake()
	out := plainly(t, f, alone(true), v, "f", "l", "f 9", "f 1 soon", "f 1", "f 2 1:34", "f 1 +1", "f 1 +2", "a")
	assert.NotContains(t, strings.ToUpper(out), "ADD 6")
	assert.Contains(t, out, "YOU decide")
	assert.Contains(t, out, "2 a crack in the bulb")
	assert.Contains(t, out, "01:40  pH 7.07")
	assert.Contains(t, out, "Say which by its number")
	assert.Contains(t, out, "at a time, such as 1:34, or an addition, such as +2")
	var codes []string
	for _, in := range f.wants() {
		codes = append(codes, in.Code)
	}
	assert.Equal(t, []string{"unstirred NaN false", "cracked 94 false", "", "unstirred 90 true", "asked"}, codes)
}

// Where no fault is to be found, f says so.
func TestPlainPracticeWithoutFaults(t *testing.T) {
	p := alone(true)
	p.Faults = nil
	assert.Contains(t, plainly(t, newFake(), p, advising(6), "f"), "There is no fault to name")
}

// Who leaves a practice run goes on with it later: it is not ended, not even where
// the end of what is typed is seen first.
func TestLeavingIsNoEnd(t *testing.T) {
	for range 100 {
		f := newFake()
		plainly(t, f, alone(true), advising(6))
		for _, in := range f.wants() {
			require.NotEqual(t, intent.End, in.Kind)
		}
	}
}

// Where it is asked, how the fault shows is said after its name, on the screen and in lines: a
// name alone may be a guess.
func TestHowAFaultShowsIsAsked(t *testing.T) {
	asked := func() tui.Practice {
		p := alone(true)
		p.Ways = []menu.Row{{Text: "higher than on a sound bench"}, {Text: "lower than on a sound bench"}}
		return p
	}
	v := advising(6)
	v.T, v.Age, v.PH = 100, 0, 7.07
	v.Entries = []view.Entry{{Seq: 9, T: 90, Drops: 6, Volume: 0.3 * chem.Millilitre}}
	m, f := begin(t, asked(), v)
	m = enter(enter(typeKeys(m, "f")))
	assert.Contains(t, m.View(), "How does it show there?")
	assert.Empty(t, f.wants())
	m = press(m, tea.KeyEsc)
	assert.Contains(t, m.View(), "What is wrong?", "back to the names")
	m = enter(typeKeys(enter(m), "j"))
	require.Len(t, f.wants(), 1)
	assert.Equal(t, "unstirred 100 false lower", f.wants()[0].Code)
	m = enter(typeKeys(m, "fn"))
	assert.Equal(t, "unstirred NaN false", f.wants()[1].Code, "nothing shows it, so in no way")
	assert.NotContains(t, m.View(), "How does it show")

	f = newFake()
	out := plainly(t, f, asked(), v, "f", "f 1 +1", "f 1 +1 lower", "f 1 1:34 h", "f 1")
	assert.Contains(t, out, "f 3 1:34 higher names the third")
	assert.Contains(t, out, "Say at the end how it shows there: higher than on a sound bench; lower than on a sound bench.")
	var codes []string
	for _, in := range f.wants() {
		codes = append(codes, in.Code)
	}
	assert.Equal(t, []string{"unstirred 90 true lower", "unstirred 94 false higher", "unstirred NaN false"}, codes)
}

// Time that stands is said for as long as it does, and not until the next key: drops that were
// let fall then do not fall.
func TestTimeThatStandsIsSaid(t *testing.T) {
	stands := false
	p := alone(true)
	p.Silent, p.Pause = false, func() bool { stands = !stands; return stands }
	m, _ := begin(t, p, advising(6))
	const says = "time is paused; p lets it run"
	assert.NotContains(t, m.View(), says)
	m = typeKeys(m, "p")
	assert.Contains(t, m.View(), says)
	m = enter(m)
	v := advising(6)
	v.T += 10
	m, _ = m.Update(tui.Seen(v))
	assert.Contains(t, m.View(), says)
	m = typeKeys(m, "p")
	assert.Contains(t, m.View(), "time runs")
	m = enter(m)
	assert.NotContains(t, m.View(), says)
}
