package main

import (
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/remedy"
)

// TestWalkInterrupted: a signal leaves the terminal as it was, the journal whole
// and the run to be gone on with, and the exit status names it.
func TestWalkInterrupted(t *testing.T) {
	for sig, status := range map[syscall.Signal]int{syscall.SIGHUP: 129, syscall.SIGINT: 130, syscall.SIGTERM: 143} {
		t.Run(sig.String(), func(t *testing.T) {
			w := walking(t, "", "titrate", "--sim", "--seed", "4", "--speed", "5")
			w.sees("aim ")
			p, err := os.FindProcess(w.pid())
			require.NoError(t, err)
			require.NoError(t, p.Signal(sig))
			w.endsWith(status)
			assert.True(t, cooked(t, w.tty), "the terminal is not raw any more")
			r, err := journal.CheckFile(w.journal())
			require.NoError(t, err)
			assert.Empty(t, r.Faults)
			w = walking(t, w.home)
			w.sees("Resume")
			w.types("q")
			w.ends()
		})
	}
}

// TestTerminalIsClosed: a screen ends with its terminal, be it that a signal says so, be
// it that nothing can be typed any more, and though a speech program hangs.
func TestTerminalIsClosed(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: no terminal was closed on a running program, which takes seconds of real time")
	}
	command, heard := script(t, "trap '' HUP; echo x >> HEARD; sleep 60; exit 0\n")
	for what, own := range map[string]bool{"with a signal": true, "without one": false} {
		for _, args := range [][]string{{"titrate", "--sim", "--seed", "4"}, {"plan"}, {"calibrate", "--sim"}, {}} {
			t.Run(strings.Join(append(args, what), " "), func(t *testing.T) {
				home := t.TempDir()
				cmd := program(t, args...)
				if own && len(args) > 0 && args[0] == "titrate" {
					cmd.Args = append(cmd.Args, "--speak", command)
				}
				cmd.Dir = home
				cmd.Env = append(cmd.Env, "TERM=xterm-256color", "LC_ALL=C.UTF-8", "HOME="+home, "XDG_DATA_HOME="+home)
				far, tty, err := pty.Open()
				require.NoError(t, err)
				require.NoError(t, pty.Setsize(far, &pty.Winsize{Rows: 24, Cols: 80}))
				cmd.Stdin, cmd.Stdout, cmd.Stderr = tty, tty, tty
				cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: own} // only one whose own terminal it is gets a signal
				require.NoError(t, cmd.Start())
				tty.Close()
				t.Cleanup(func() { _ = cmd.Process.Kill() })
				drawn := make(chan struct{})
				go func() {
					all := ""
					for b := make([]byte, 4096); ; {
						n, err := far.Read(b)
						if all += string(b[:n]); err != nil {
							return
						}
						if strings.Contains(all, "keys") { // the row of keys is the last
							close(drawn)
							return // a read that waits would keep the terminal open
						}
					}
				}()
				select {
				case <-drawn:
				case <-time.After(30 * time.Second):
					require.Fail(t, "nothing was drawn")
				}
				if strings.Contains(strings.Join(cmd.Args, " "), "--speak") {
					require.Eventually(t, func() bool { _, err := os.Stat(heard); return err == nil }, 20*time.Second, 10*time.Millisecond)
				}
				far.Close()
				ended := make(chan error, 1)
				go func() { ended <- cmd.Wait() }()
				select {
				case <-ended:
				case <-time.After(hangupTime - 500*time.Millisecond):
					require.Fail(t, "it goes on though its terminal is closed")
				}
			})
		}
	}
}

// TestLastResort: a program that does not end by itself after a hangup is ended.
func TestLastResort(t *testing.T) {
	status := make(chan int, 1)
	remedy.HangupInOrder()
	lastResort(func(n int) { status <- n })
	began := time.Now()
	require.NoError(t, syscall.Kill(os.Getpid(), syscall.SIGHUP))
	select {
	case n := <-status:
		assert.Equal(t, 129, n)
		assert.GreaterOrEqual(t, time.Since(began), hangupTime, "it had time to end in good order")
	case <-time.After(hangupTime + 20*time.Second):
		require.Fail(t, "nothing ends it")
	}
}

// cooked reports whether a terminal echoes and edits lines.
func cooked(t *testing.T, tty *os.File) bool {
	t.Helper()
	at, err := unix.IoctlGetTermios(int(tty.Fd()), unix.TCGETS)
	require.NoError(t, err)
	return at.Lflag&unix.ECHO != 0 && at.Lflag&unix.ICANON != 0
}
