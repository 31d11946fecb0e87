//go:build unix

package manners

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

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

// TestSpeakNeverWaits: while the program is stuck, a thousand sentences are taken at
// once, and when it is free again it gets the last of them.
func TestSpeakNeverWaits(t *testing.T) {
	gate := filepath.Join(t.TempDir(), "gate")
	require.NoError(t, syscall.Mkfifo(gate, 0o600))
	command, heard := script(t, `printf '%s|%s|%s\n' "$1" "$2" "$3" >> HEARD; cat '`+gate+`' > /dev/null`)
	s, err := NewSpeaker(command)
	require.NoError(t, err)
	s.Say("first")
	require.Eventually(t, func() bool { b, _ := os.ReadFile(heard); return string(b) == "-x|two words|first\n" }, 10*time.Second, 5*time.Millisecond)
	for range 1000 {
		s.Say("ADD 6 drops of NaOH 1 M; $(reboot) `x` \"")
	}
	s.Say("DONE, read 7.40")
	release := func() {
		f, err := os.OpenFile(gate, os.O_WRONLY, 0)
		require.NoError(t, err)
		f.Close()
	}
	release()
	require.Eventually(t, func() bool { b, _ := os.ReadFile(heard); return strings.Count(string(b), "\n") == 2 }, 10*time.Second, 5*time.Millisecond)
	b, err := os.ReadFile(heard)
	require.NoError(t, err)
	assert.Equal(t, "-x|two words|first\n-x|two words|DONE, read 7.40\n", string(b))
	release()
	s.Close()
	<-s.done
}

func TestSpeakRefusals(t *testing.T) {
	for command, want := range map[string]string{
		"no-such-program-here": "executable file not found", " ": "no program was named", "sh 'x": "not closed",
	} {
		_, err := NewSpeaker(command)
		require.Error(t, err, command)
		assert.Contains(t, err.Error(), want)
		assert.Equal(t, ExitUsage, Tell(new(strings.Builder), err))
	}
}
