package main

import (
	"os"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.org/halfdrop/meter/journal"
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

// cooked reports whether a terminal echoes and edits lines.
func cooked(t *testing.T, tty *os.File) bool {
	t.Helper()
	at, err := unix.IoctlGetTermios(int(tty.Fd()), unix.TCGETS)
	require.NoError(t, err)
	return at.Lflag&unix.ECHO != 0 && at.Lflag&unix.ICANON != 0
}
