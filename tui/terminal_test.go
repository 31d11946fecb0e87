//go:build unix

package tui_test

import (
	"bytes"
	"io"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/vt"
	"github.com/creack/pty"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/quiet"
	"example.org/halfdrop/tui/terminal"
)

func TestDark(t *testing.T) {
	for colours, want := range map[string]bool{"": true, "15;0": true, "0;15": false, "0;7": false, "0;default;15": false, "12;8": true, "x": true} {
		assert.Equal(t, want, quiet.Dark(colours), colours)
	}
}

// TestRunOnTerminal drives the real program on a pseudo-terminal.
func TestRunOnTerminal(t *testing.T) {
	t.Setenv("TERM", "xterm-256color")
	t.Setenv("LC_ALL", "C.UTF-8")
	master, slave, err := pty.Open()
	require.NoError(t, err)
	defer master.Close()
	require.NoError(t, pty.Setsize(master, &pty.Winsize{Cols: 80, Rows: 24}))
	f := newFake()
	f.views <- advising(6)
	written := make(chan []byte, 1)
	emulator := &glass{Emulator: vt.NewEmulator(80, 24)}
	go io.Copy(io.Discard, emulator.Emulator) // its replies, which nobody reads
	go func() {
		var all bytes.Buffer
		io.Copy(io.MultiWriter(&all, emulator), master)
		written <- all.Bytes()
	}()
	done := make(chan error, 1)
	go func() {
		done <- tui.Run(t.Context(), f, terminal.Options{In: slave, Out: slave, Bell: true, Background: "dark"})
	}()
	require.Eventually(t, func() bool { return strings.Contains(emulator.text(), "ADD 6 drops of NaOH 1 M") }, 5*time.Second, 5*time.Millisecond)

	_, err = master.Write([]byte(strings.Repeat(" ", 400) + "\rc" + strings.Repeat("u1", 600) + "qy"))
	require.NoError(t, err)
	require.Eventually(t, func() bool { return len(f.wants()) == 1002 }, 60*time.Second, 5*time.Millisecond, "a thousand keys at once")
	want := append(dose(naoh, 1, 400), add(naoh, 400))
	for range 600 {
		want = append(want, intent.Intent{Kind: intent.Undo, Text: "mis-keyed"})
	}
	assert.Equal(t, append(want, intent.Intent{Kind: intent.End, Text: tui.LeftUnread}), f.wants())
	v := stopping()
	v.Outcome = tui.Left
	f.views <- v
	require.NoError(t, <-done)
	slave.Close()
	leavesClean(t, string(<-written))
}

// leavesClean checks that what was switched on was switched off again.
func leavesClean(t *testing.T, s string) {
	for _, pair := range [][2]string{
		{"\x1b[?1049h", "\x1b[?1049l"}, // the other screen
		{"\x1b[?25l", "\x1b[?25h"},     // no cursor
		{"\x1b[?2004h", "\x1b[?2004l"}, // marked pastes
		{"\x1b[22;0t", "\x1b[23;0t"},   // title
	} {
		on, off := strings.LastIndex(s, pair[0]), strings.LastIndex(s, pair[1])
		assert.GreaterOrEqual(t, on, 0, "%q", pair[0])
		assert.Greater(t, off, on, "%q", pair[1])
	}
	assert.NotContains(t, s, "\x1b]11;?", "no question about colours when they are given")
	assert.Contains(t, s, "\a", "the bell at DONE")
}

// glass is what a person would see of the terminal. The emulator that comes
// with a lock gives out cells that are written to without it.
type glass struct {
	*vt.Emulator
	mu sync.Mutex
}

func (g *glass) Write(b []byte) (int, error) {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.Emulator.Write(b)
}

func (g *glass) text() string {
	g.mu.Lock()
	defer g.mu.Unlock()
	var b strings.Builder
	for y := range 24 {
		for x := range 80 {
			if c := g.CellAt(x, y); c != nil && c.Content != "" {
				b.WriteString(c.Content)
			} else {
				b.WriteByte(' ')
			}
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// TestBackgroundIsAsked: the terminal is asked beside the first frame, a light one
// has the screen drawn anew in colours for light, and its answer is not typed. A process
// asks once: no other test of this room may ask.
func TestBackgroundIsAsked(t *testing.T) {
	t.Setenv("TERM", "xterm-256color")
	t.Setenv("NO_COLOR", "")
	lipgloss.SetColorProfile(termenv.TrueColor)
	defer func() {
		lipgloss.SetColorProfile(termenv.Ascii)
		lipgloss.SetHasDarkBackground(true)
	}()
	lipgloss.SetHasDarkBackground(true)
	master, slave, err := pty.Open()
	require.NoError(t, err)
	defer master.Close()
	require.NoError(t, pty.Setsize(master, &pty.Winsize{Cols: 80, Rows: 24}))
	f := newFake()
	f.views <- advising(6)
	var mu sync.Mutex
	var all bytes.Buffer
	said := func(what string) func() bool {
		return func() bool {
			mu.Lock()
			defer mu.Unlock()
			return strings.Contains(all.String(), what)
		}
	}
	go func() {
		b := make([]byte, 4096)
		for {
			n, err := master.Read(b)
			mu.Lock()
			all.Write(b[:n])
			mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	done := make(chan error, 1)
	go func() { done <- tui.Run(t.Context(), f, terminal.Options{In: slave, Out: slave}) }()
	require.Eventually(t, said("\x1b]11;?\a"), 5*time.Second, 5*time.Millisecond, "it asks")
	require.Eventually(t, said("38;2;86;179;233m"), 5*time.Second, 5*time.Millisecond, "and draws as for a dark one meanwhile")
	_, err = master.Write([]byte("\x1b]11;rgb:ffff/ffff/ffff\x1b\\"))
	require.NoError(t, err)
	require.Eventually(t, said("38;2;0;95;150m"), 5*time.Second, 5*time.Millisecond, "the colours for a light one")
	_, err = master.Write([]byte("\r"))
	require.NoError(t, err)
	require.Eventually(t, func() bool { return len(f.wants()) == 1 }, 5*time.Second, 5*time.Millisecond)
	assert.Equal(t, []intent.Intent{add(naoh, 6)}, f.wants(), "the six advised, and no digit of the answer")
	_, err = master.Write([]byte("qy"))
	require.NoError(t, err)
	close(f.views)
	require.NoError(t, <-done)
}
