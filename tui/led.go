package tui

import (
	"context"
	"errors"

	tea "github.com/charmbracelet/bubbletea"
)

// led is a screen that somebody else leads: states come, keys go, and nothing is known
// here of what they mean. Who leads it can lead a person in lines as well, by the
// sentences of the same states.
type led[S any] struct {
	states <-chan S
	take   func(was, came S) S         // a state that came, with what is kept of the one before
	key    func(st S, key string) S    // a key; what the person wants is told to the leader
	draw   func(st S, w, h int) string // h rows of at most w columns
	state  S
	w, h   int
}

// lead shows a screen until its states are closed or ctx ends. An interrupt is told by stop.
func lead[S any](ctx context.Context, m led[S], stop func(), o Options) error {
	err := present(ctx, m, o, output(o))
	if errors.Is(err, tea.ErrInterrupted) {
		stop()
		return nil
	}
	return err
}

// over says that no more states come.
type over struct{}

// Init waits for the first state.
func (m led[S]) Init() tea.Cmd { return m.next }

func (m led[S]) next() tea.Msg {
	st, open := <-m.states
	if !open {
		return over{}
	}
	return came[S]{st}
}

// came is the message that carries a state.
type came[S any] struct{ state S }

// Update takes a state, a size or a key.
func (m led[S]) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case came[S]:
		m.state = m.take(m.state, msg.state)
		return m, m.next
	case over:
		return m, tea.Quit
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case tea.KeyMsg:
		for _, key := range keysOf(msg) {
			m.state = m.key(m.state, key)
		}
	}
	return m, nil
}

// keysOf parts runes that were typed so fast that they came together.
func keysOf(msg tea.KeyMsg) []string {
	if msg.Type != tea.KeyRunes {
		return []string{msg.String()}
	}
	var out []string
	for _, r := range msg.Runes {
		out = append(out, string(r))
	}
	return out
}

// View draws the state in the size of the terminal.
func (m led[S]) View() string { return m.draw(m.state, m.w, m.h) }
