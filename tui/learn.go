package tui

import (
	"context"
	"errors"
	"os"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/screen"
)

// Presses of the screen on which a meter is learned. Those of one letter say
// what the column at the cursor is.
const (
	LearnLeft  = "left"
	LearnRight = "right"
	LearnKeep  = "keep"
	LearnQuit  = "q"    // asks first, where something was said
	LearnStop  = "stop" // leaves at once
)

// LearnKeys are its keys, in order of weight.
var LearnKeys = []screen.Key{
	{Name: "← →", Short: "column", Does: "go to another column"},
	{Name: "p", Short: "pH", Does: "the column is the pH"},
	{Name: "c", Short: "°C", Does: "the column is the temperature in °C"},
	{Name: "f", Short: "°F", Does: "the column is the temperature in °F"},
	{Name: "m", Short: "mV", Does: "the column is the potential of the electrode"},
	{Name: "i", Short: "out", Does: "the column is ignored"},
	{Name: "Enter", Short: "keep", Does: "save it, for --meter"},
	{Name: "q", Short: "leave", Does: "leave, nothing is kept; asks first where something was said"},
	{Name: "?", Short: "keys", Does: "all keys"},
	{Name: "k", Short: "K", Does: "the column is the temperature in K"},
	{Name: "n", Short: "channel", Does: "the column is the number or the name of a channel"},
	{Name: "t", Short: "time", Does: "the column is a time or a count; it is left out"},
	{Name: "s", Short: "status", Does: "the column says whether the reading is stable"},
}

var learnPresses = map[string]string{
	"left": LearnLeft, "right": LearnRight, "tab": LearnRight, "shift+tab": LearnLeft, "enter": LearnKeep, "q": LearnQuit, "esc": LearnQuit, "ctrl+c": LearnStop,
	"p": "p", "c": "c", "f": "f", "m": "m", "i": "i", "k": "k", "n": "n", "t": "t", "s": "s",
}

// Learn shows what a meter sends until states is closed or ctx ends. press is
// told what the person wants and must not block.
func Learn(ctx context.Context, states <-chan screen.Learn, press func(string), o Options) error {
	m := learning{states: states, press: press}
	m.state.Set = o.set(os.Getenv)
	switch err := present(ctx, m, o, output(o)); {
	case errors.Is(err, tea.ErrInterrupted):
		press(LearnStop)
		return nil
	default:
		return err
	}
}

// learning is the program model: the latest state, and the size.
type learning struct {
	states <-chan screen.Learn
	press  func(string)
	state  screen.Learn
	w, h   int
}

// learningOver says that no more states come.
type learningOver struct{}

// Init waits for the first state.
func (m learning) Init() tea.Cmd { return m.next }

func (m learning) next() tea.Msg {
	st, open := <-m.states
	if !open {
		return learningOver{}
	}
	return st
}

// Update takes a state, a size or a key.
func (m learning) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case screen.Learn:
		msg.Set, msg.Keys, msg.Help = m.state.Set, LearnKeys, m.state.Help
		m.state = msg
		return m, m.next
	case learningOver:
		return m, tea.Quit
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case tea.KeyMsg:
		for _, key := range keysOf(msg) {
			want, ok := learnPresses[key]
			switch {
			case len(m.state.Help) > 0 && key != "ctrl+c": // a key that takes the help away does nothing else
				m.state.Help = nil
			case key == "?":
				m.state.Help = LearnKeys
			case ok:
				m.press(want)
			}
		}
	}
	return m, nil
}

// View draws the state in the size of the terminal.
func (m learning) View() string { return screen.DrawLearn(m.state, m.w, m.h) }
