//go:build unix

package main

import (
	"bytes"
	"path/filepath"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDumbTerminal: a terminal that says it can show lines only, such as the shell inside an
// editor, is given lines by every command that has a screen elsewhere.
func TestDumbTerminal(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: no command was started on a terminal of lines, which takes seconds of real time")
	}
	for words, args := range map[string][]string{
		"WAIT for":            {"titrate", "--sim", "--seed", "4"},
		"Enter when it is in": {"calibrate", "--sim", "--standards", "7.00,4.01"},
	} {
		t.Run(args[0], func(t *testing.T) {
			t.Parallel()
			home := t.TempDir()
			cmd := program(t, args...) // its TERM is dumb
			cmd.Dir = home
			cmd.Env = append(cmd.Env, "LC_ALL=C.UTF-8", "HOME="+home, "XDG_DATA_HOME="+filepath.Join(home, "data"))
			tty, err := pty.StartWithSize(cmd, &pty.Winsize{Rows: 24, Cols: 80})
			require.NoError(t, err)
			defer func() { _ = cmd.Process.Kill(); tty.Close(); _ = cmd.Wait() }()
			said, seen := make(chan []byte, 99), []byte{}
			go func() {
				for {
					b := make([]byte, 4096)
					n, err := tty.Read(b)
					if err != nil {
						return
					}
					said <- b[:n]
				}
			}()
			late := time.After(30 * time.Second)
			for !bytes.Contains(seen, []byte(words)) {
				select {
				case b := <-said:
					seen = append(seen, b...)
				case <-late:
					require.Fail(t, "not said: "+words, "%q", seen)
				}
			}
			assert.NotContains(t, string(seen), "\x1b[", "no cursor is moved")
		})
	}
}
