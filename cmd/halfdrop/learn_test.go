//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/serial/serialtest"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A meter is learned by lines of text and used by its name, its port included.
func TestLearnAndUse(t *testing.T) {
	ownConfig(t)
	m := columnsMeter(t)
	out, status, told := runPorts(t, "--listen", m.Path(), "--for", "400ms")
	require.Equal(t, manners.ExitOK, status)
	assert.NotContains(t, out, "\tpH", "two bare numbers are never guessed")
	assert.Contains(t, told, "ports --learn")

	out, status, told = learnByLines(t, "what?\np\nc\n", "--learn", "corner", "--listen", m.Path())
	require.Equal(t, manners.ExitOK, status, told)
	assert.Contains(t, out, "column 1: 7.0")
	assert.Contains(t, out, "may be pH: 7.02 to 7.04, 2 decimals")
	assert.Contains(t, out, "what is column 2? p pH")
	assert.Contains(t, out, "(20 of 20 lines)")
	assert.Contains(t, told, "use it with --meter corner")

	out, status, _ = runPorts(t, "--meter", "Corner", "--for", "400ms")
	assert.Equal(t, manners.ExitOK, status)
	assert.Contains(t, out, "7.02,25.1\tpH 7.02, 25.1 °C")

	_, status, told = learnByLines(t, "p\nc\n", "--learn", "corner", "--listen", m.Path())
	assert.Equal(t, manners.ExitFailed, status)
	assert.Contains(t, told, "has been learned already")
	assert.Contains(t, told, "--force")
}

func TestLearnRefused(t *testing.T) {
	dir := ownConfig(t)
	m := columnsMeter(t)
	for name, tt := range map[string]struct {
		typed string
		args  []string
		says  []string
	}{
		"nobody answers":  {"", []string{"--learn", "a", "--listen", m.Path()}, []string{"the columns have not been named"}},
		"no pH":           {"i\nc\n", []string{"--learn", "a", "--listen", m.Path()}, []string{"say which column is the pH"}},
		"the wrong one":   {"i\np\n", []string{"--learn", "a", "--listen", m.Path()}, []string{"not one line is read in this way", "25.1"}},
		"a name":          {"", []string{"--learn", "../a", "--listen", m.Path()}, []string{`"../a" is not a valid name for a meter`}},
		"an escape":       {"", []string{"--learn", "a\x1b[2J", "--listen", m.Path()}, []string{`is not a valid name for a meter`}},
		"standard input":  {"", []string{"--learn", "a", "--listen", "-"}, []string{"asks its questions on standard input"}},
		"unknown meter":   {"", []string{"--meter", "nobody", "--listen", m.Path()}, []string{`no meter "nobody" has been learned`, "ports --learn nobody"}},
		"two at once":     {"", []string{"--meter", "a", "--dialect", "b", "--listen", m.Path()}, []string{"exclude each other"}},
		"no such port":    {"", []string{"--learn", "a", "--listen", filepath.Join(dir, "none")}, []string{"no such port"}},
		"RFC 2217":        {"", []string{"--listen", "rfc2217://127.0.0.1:1"}, []string{"RFC 2217 is not supported", "raw TCP"}},
		"refused network": {"", []string{"--listen", "tcp://127.0.0.1:1"}, []string{"the connection is refused", "is nobody else connected?"}},
	} {
		_, status, told := learnByLines(t, tt.typed, tt.args...)
		assert.NotEqual(t, manners.ExitOK, status, name)
		for _, s := range tt.says {
			assert.Contains(t, told, s, name)
		}
		assert.NotContains(t, told, "\x1b", name)
	}
	_, err := os.Stat(filepath.Join(dir, "meters", "a.toml"))
	assert.ErrorIs(t, err, os.ErrNotExist, "a refused lesson leaves nothing behind")
}

// The screen on a real pseudo-terminal: keys say what the columns are.
func TestWalkLearn(t *testing.T) {
	ownConfig(t)
	m := columnsMeter(t)
	w := walking(t, "", "ports", "--learn", "corner", "--listen", m.Path())
	w.sees("SAY which column is the pH")
	w.types("p")
	w.sees("read so: pH 7.0")
	w.types("\x1b[Cc")
	w.sees("25.1 °C (20 of 20 lines)")
	w.types(enter)
	w.ends()
	w = walking(t, w.home, "ports", "--meter", "corner", "--for", "1s")
	w.sees("pH 7.0")
	w.ends()
}

// ownConfig gives a test a folder of defaults and meters of its own.
func ownConfig(t *testing.T) string {
	dir := t.TempDir()
	t.Setenv(manners.ConfigEnv, filepath.Join(dir, "config.toml"))
	return dir
}

// columnsMeter is a fake meter that sends two numbers without a name.
func columnsMeter(t *testing.T) *serialtest.Meter {
	m := serialtest.Plug(t)
	i := 0
	m.Stream(20*time.Millisecond, func() string { i++; return fmt.Sprintf("%.2f,25.1\r\n", 7.02+0.01*float64(i%3)) })
	return m
}

// learnByLines runs ports --learn with what somebody types.
func learnByLines(t *testing.T, typed string, args ...string) (out string, status int, told string) {
	t.Helper()
	cmd := newPortsCommand()
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	var stdout, stderr bytes.Buffer
	cmd.SetIn(strings.NewReader(typed))
	cmd.SetOut(&stdout)
	cmd.SetErr(&stderr)
	cmd.SetArgs(args)
	status = manners.Tell(&stderr, cmd.Execute())
	return stdout.String(), status, stderr.String()
}
