package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestHomeSaysCommandLines: what the menus of the home screen lead to (see the tests of
// tui/home) is a command line.
func TestHomeSaysCommandLines(t *testing.T) {
	for _, line := range []string{
		"titrate --sim --by-hand", "titrate --find --sim --by-hand", "plan", "calibrate --typed --standards 7.00,4.01",
		"titrate --port auto --plan x.toml", "titrate --meter corner --plan x.toml", "titrate --resume x.jsonl", "find example", "replay x.jsonl", "practice",
	} {
		cmd, rest, err := newRootCommand().Find(strings.Fields(line))
		require.NoError(t, err, line)
		require.NoError(t, cmd.ParseFlags(rest), line)
	}
}
