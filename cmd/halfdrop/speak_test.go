//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/cmd/manners"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// script is a program that writes its last argument into a file.
func script(t *testing.T, body string) (program, heard string) {
	dir := t.TempDir()
	program, heard = filepath.Join(dir, "with blank.sh"), filepath.Join(dir, "heard")
	require.NoError(t, os.WriteFile(program, []byte("#!/bin/sh\n"+strings.ReplaceAll(body, "HEARD", heard)), 0o755))
	return "'" + program + "' -x 'two words'", heard
}

// TestSpeakOfRun: a run in line mode is heard, sentence by sentence.
func TestSpeakOfRun(t *testing.T) {
	command, heard := script(t, `printf '%s\n' "$3" >> HEARD`)
	c := program(t, "titrate", "--sim", "--seed", "7", "--plain", "--speak", command, "--journal", filepath.Join(t.TempDir(), "r.jsonl"))
	in, err := c.StdinPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	require.Eventually(t, func() bool { b, _ := os.ReadFile(heard); return strings.HasPrefix(string(b), "WAIT ") }, 10*time.Second, 5*time.Millisecond)
	_, err = in.Write([]byte("q\ny\n"))
	require.NoError(t, err)
	_ = c.Wait() // the aim is not reached, which is a status of its own
	assert.Equal(t, manners.ExitMissed, c.ProcessState.ExitCode())
}
