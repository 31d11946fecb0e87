package led

import (
	"context"
	"errors"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/terminal"
)

// Leader leads a person through something, in front of a screen: what the person wants
// comes by pressed, what is to be seen goes by show. It ends by itself or with ctx, and
// the screen with it. Led in lines, the same leader says the sentences of what it shows.
type Leader[S any] func(ctx context.Context, pressed <-chan string, show func(S)) error

// led is the program model of a screen that is led. It does not know what it shows.
type led[S any] struct {
	states <-chan S
	take   func(was, came S) S         // a state that came, with what is kept of the one before
	key    func(st S, key string) S    // a key
	draw   func(st S, w, h int) string // h rows of at most w columns
	state  S
	w, h   int
}

// mostPressed is how many presses may wait for the leader; more are dropped.
const mostPressed = 32

// lead shows a screen as long as its leader lasts. model makes the program model, which
// takes states and tells by press what is wanted; an interrupt presses stop. What the leader ended with comes
// first, but for the end of ctx, which follows the end of the screen.
func lead[S any](ctx context.Context, leader Leader[S], model func(states <-chan S, press func(string)) tea.Model, stop string, o terminal.Options) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	states, pressed := make(chan S, 1), make(chan string, mostPressed)
	press := func(want string) {
		select {
		case pressed <- want:
		default:
		}
	}
	ended := make(chan error, 1)
	go func() {
		defer close(states)
		ended <- leader(ctx, pressed, func(st S) {
			select { // one that was not taken is replaced
			case <-states:
			default:
			}
			states <- st
		})
	}()
	err := terminal.Present(ctx, model(states, press), o, terminal.Output(o))
	if errors.Is(err, tea.ErrInterrupted) {
		press(stop)
		err = nil
	}
	cancel() // the screen is gone, whatever the reason
	if why := <-ended; why != nil && (err == nil || !errors.Is(why, context.Canceled)) {
		return why
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
	return st
}

// Update takes a state, a size or a key.
func (m led[S]) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case S:
		m.state = m.take(m.state, msg)
		return m, m.next
	case over:
		return m, tea.Quit
	case tea.WindowSizeMsg:
		m.w, m.h = msg.Width, msg.Height
	case tea.KeyMsg:
		for _, key := range terminal.Keys(msg) {
			m.state = m.key(m.state, key)
		}
	}
	return m, nil
}

// View draws the state in the size of the terminal.
func (m led[S]) View() string { return m.draw(m.state, m.w, m.h) }
