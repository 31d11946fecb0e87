//go:build unix

package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestNoQuestionAtStart: loading the program asks the terminal nothing. Bubble Tea would
// ask for the background colour, and wait five seconds on a terminal that never answers,
// like this one. The test stands here, where nothing but the program itself brings in
// what keeps it from asking.
func TestNoQuestionAtStart(t *testing.T) {
	c := program(t, "--version")
	c.Env = append(c.Env, "TERM=xterm-256color", "CI=")
	f, err := pty.Start(c)
	require.NoError(t, err)
	defer f.Close()
	said, _ := io.ReadAll(f) // ends in EIO when the child has ended
	require.NoError(t, c.Wait())
	assert.Contains(t, string(said), "halfdrop")
	assert.NotContains(t, string(said), "\x1b]11", "a question")
}

// The journals of a class are counted in place on a terminal, in one line that is gone in
// the end.
func TestCountsAClassInPlace(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"a.jsonl", "b.jsonl"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte("{}\n"), 0o600))
	}
	c := program(t, "practice", "--results", folder)
	c.Env = append(c.Env, "TERM=xterm-256color", "CI=")
	f, err := pty.StartWithSize(c, &pty.Winsize{Rows: 24, Cols: 80})
	require.NoError(t, err)
	defer f.Close()
	said, _ := io.ReadAll(f)
	_ = c.Wait() // both are flagged
	assert.Contains(t, string(said), "\rreading 1 of 2 journals\r\x1b[K")
}
