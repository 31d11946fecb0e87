//go:build unix

package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/serial/serialtest"
)

// runPorts is what `halfdrop ports` prints, its exit status and its talk.
func runPorts(t *testing.T, args ...string) (out string, status int, told string) {
	t.Helper()
	cmd := newPortsCommand()
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	var stdout, stderr bytes.Buffer
	cmd.SetOut(&stdout)
	cmd.SetErr(&stderr)
	cmd.SetArgs(append([]string{}, args...)) // nil would mean those of the test
	status = manners.Tell(&stderr, cmd.Execute())
	return stdout.String(), status, stderr.String()
}

func TestPortsList(t *testing.T) {
	out, status, told := runPorts(t)
	assert.Equal(t, manners.ExitOK, status)
	assert.True(t, strings.Contains(out, "USB") || strings.Contains(out, "adapter unknown") || strings.Contains(told, "no serial port was found"), "%q %q", out, told)
}

func TestPortsListen(t *testing.T) {
	m := serialtest.Plug(t)
	lines := []string{"pH 7.021 25.1 C stable\r\n", "hello\r\n"}
	i := 0
	m.Stream(50*time.Millisecond, func() string { i++; return lines[i%2] })
	out, status, told := runPorts(t, "--listen", m.Path(), "--for", "600ms")
	assert.Equal(t, manners.ExitOK, status)
	assert.Contains(t, out, "pH 7.021 25.1 C stable\tpH 7.021, 25.1 °C, stable\n")
	assert.Contains(t, out, "hello\tnot a reading: \"hello\" is not known\n")
	assert.Contains(t, told, m.Path()+" is open, waiting for a reading")
}

func TestPortsListenWithADialect(t *testing.T) {
	m := serialtest.Plug(t)
	m.Answer(func(q string) string { return map[string]string{"go": "R7,02/25,1\r\n"}[q] })
	file := filepath.Join(t.TempDir(), "odd.toml")
	require.NoError(t, os.WriteFile(file, []byte(`query = "stop\r"
pattern = 'R(?P<ph>\d+,\d+)/(?P<temp>\d+,\d)'
decimal = "comma"`), 0o600))
	out, status, _ := runPorts(t, "--listen", m.Path(), "--for", "900ms", "--dialect", file, "--query", `go\r`)
	assert.Equal(t, manners.ExitOK, status)
	assert.Contains(t, out, "R7,02/25,1\tpH 7.02, 25.1 °C not used yet\n", "the flag wins over the file")
}

func TestPortsRefused(t *testing.T) {
	dir := t.TempDir()
	bad := filepath.Join(dir, "bad.toml")
	require.NoError(t, os.WriteFile(bad, []byte("buad = 9600\n"), 0o600))
	for _, tt := range []struct {
		args   []string
		status int
		says   []string
	}{
		{[]string{"--listen", filepath.Join(dir, "ttyNONE0")}, manners.ExitFailed, []string{"ttyNONE0: no such port", "halfdrop: hint: "}},
		{[]string{"--listen", "x", "--mode", "fast"}, manners.ExitUsage, []string{`"fast" is not a mode such as 9600 8N1`}},
		{[]string{"--listen", "x", "--dialect", bad}, manners.ExitFailed, []string{`bad.toml:1:1: unknown key "buad"; did you mean "baud"?`}},
		{[]string{"--listen", "x", "--dialect", filepath.Join(dir, "none.toml")}, manners.ExitFailed, []string{"none.toml"}},
	} {
		out, status, told := runPorts(t, tt.args...)
		assert.Equal(t, tt.status, status, tt.args)
		assert.Empty(t, out)
		for _, s := range tt.says {
			assert.Contains(t, told, s)
		}
	}
}

func TestReadingWords(t *testing.T) {
	for line, want := range map[string]string{
		"pH 7.020 25.1 C MTC":     "pH 7.020, 25.1 °C, temperature set by hand",
		"7.02 pH -1.2 mV 25.1 C":  "pH 7.02, -1.2 mV, 25.1 °C",
		"-173.20 mV unstable":     "-173.20 mV, unstable",
		"pH over":                 "no number, over range",
		"pH under":                "no number, under range",
		"pH no probe":             "no number, no electrode",
		"pH 7.02 -127.0 C stable": "pH 7.02, stable, an impossible temperature",
	} {
		r, err := frame.Read([]byte(line))
		require.NoError(t, err, line)
		assert.Equal(t, want, meter.Words(r.Reading), line)
	}
	assert.Equal(t, "pH 7", meter.Words(meter.Reading{Value: 7}))
}
