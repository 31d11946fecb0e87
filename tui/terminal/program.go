package terminal

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sync"
	"syscall"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/meter/remedy"
)

// framesPerSecond is how often the screen may be drawn.
const framesPerSecond = 30

// Present runs a program on the whole terminal, and gives the terminal back.
// The end of ctx is no error; a signal is tea.ErrInterrupted, and so is a terminal that
// is closed, for which a program that is not its own gets no signal. Signals are taken
// here: the library's own handler waits for ever when ctx ends at the same time.
func Present(ctx context.Context, m tea.Model, o Options, out io.Writer) error {
	remedy.HangupInOrder()
	until, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	until, gone := context.WithCancel(until)
	defer gone()
	opts := []tea.ProgramOption{tea.WithContext(until), tea.WithoutSignalHandler(), tea.WithAltScreen(), tea.WithFPS(framesPerSecond), tea.WithOutput(out)}
	shown, keys := listening(m, o, out)
	switch {
	case keys != nil:
		opts = append(opts, tea.WithInput(keys))
	case o.In != nil:
		opts = append(opts, tea.WithInput(o.In))
	}
	io.WriteString(out, pushTitle)
	defer io.WriteString(out, popTitle)
	if keys != nil {
		keys.gone = gone
	}
	p := tea.NewProgram(shown, opts...)
	if keys != nil {
		keys.tell = func(dark bool) { go p.Send(groundIs{dark}) }
	}
	_, err := p.Run()
	switch {
	case err == nil || ctx.Err() != nil && errors.Is(err, tea.ErrProgramKilled):
		return nil
	case until.Err() != nil && errors.Is(err, tea.ErrProgramKilled):
		return fmt.Errorf("tui: %w", tea.ErrInterrupted)
	}
	return fmt.Errorf("tui: %w", err)
}

// Show is Present on the output of the options. It takes a signal for the person's leave:
// what was shown stays as it is, and a run can be gone on with.
func Show(ctx context.Context, m tea.Model, o Options) error {
	if err := Present(ctx, m, o, Output(o)); !errors.Is(err, tea.ErrInterrupted) {
		return err
	}
	return nil
}

// Control sequences of xterm that keep the title of the window and give it
// back; terminals that do not know them ignore them.
const (
	pushTitle = "\x1b[22;0t"
	popTitle  = "\x1b[23;0t"
)

// shared is an output that several goroutines may write to, such as the
// bell beside the frames. It stays a file, whose size bubbletea asks for.
type shared struct {
	*os.File
	mu sync.Mutex
}

func (t *shared) Write(b []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.File.Write(b)
}

func Output(o Options) io.Writer {
	if o.Out == nil {
		return &shared{File: os.Stdout}
	}
	if f, ok := o.Out.(*os.File); ok {
		return &shared{File: f}
	}
	return o.Out
}
