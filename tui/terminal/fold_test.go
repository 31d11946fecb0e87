//go:build unix

package terminal_test

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/terminal"
)

// TestLinesFitTheTerminal: lines of text are broken between words where the terminal
// ends, also after it was made narrower; a pipe gets them whole.
func TestLinesFitTheTerminal(t *testing.T) {
	long := "WAIT for the reading to settle. pH 7.00, settling. Aim 7.31 ±0.02. Too early to say where the reading will end.\n"
	far, tty, err := pty.Open()
	require.NoError(t, err)
	defer far.Close()
	defer tty.Close()
	out := terminal.Lines(tty)
	for _, width := range []uint16{80, 40} {
		require.NoError(t, pty.Setsize(tty, &pty.Winsize{Rows: 24, Cols: width}))
		fmt.Fprint(out, long+"really? ")
		var got bytes.Buffer
		for !strings.HasSuffix(got.String(), "? ") {
			b := make([]byte, 512)
			n, err := far.Read(b)
			require.NoError(t, err)
			got.Write(b[:n])
		}
		for line := range strings.Lines(strings.ReplaceAll(got.String(), "\r\n", "\n")) {
			assert.LessOrEqual(t, len([]rune(strings.TrimSuffix(line, "\n"))), int(width))
		}
		assert.Equal(t, strings.Fields(long+"really?"), strings.Fields(got.String()))
	}
	var pipe bytes.Buffer
	_, err = io.WriteString(terminal.Lines(&pipe), long)
	require.NoError(t, err)
	assert.Equal(t, long, pipe.String())
}

// A terminal is one; what throws everything away, a file, a pipe and what is no file are none.
func TestWhatATerminalIs(t *testing.T) {
	far, tty, err := pty.Open()
	require.NoError(t, err)
	defer far.Close()
	defer tty.Close()
	assert.True(t, terminal.Is(tty))
	null, err := os.OpenFile(os.DevNull, os.O_RDWR, 0)
	require.NoError(t, err)
	defer null.Close()
	file, err := os.Create(filepath.Join(t.TempDir(), "x"))
	require.NoError(t, err)
	defer file.Close()
	for _, none := range []any{null, file, &bytes.Buffer{}, nil} {
		assert.False(t, terminal.Is(none), "%T", none)
	}
	t.Setenv("TERM", "xterm")
	assert.True(t, terminal.OnScreen(tty, tty))
	assert.False(t, terminal.OnScreen(tty, null))
	assert.False(t, terminal.OnScreen(null, tty))
	t.Setenv("TERM", "dumb")
	assert.False(t, terminal.OnScreen(tty, tty), "it can show lines only")
}
