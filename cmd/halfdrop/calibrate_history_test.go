package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/calib/calibtest"
	"example.org/halfdrop/meter/shelf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCalibrateHistory(t *testing.T) {
	file := filepath.Join(t.TempDir(), "history.jsonl")
	out, status, told := runCalibrate(t, strings.NewReader(""), "--history", "--file", file)
	assert.Equal(t, manners.ExitOK, status)
	assert.Empty(t, out)
	assert.Contains(t, told, "no calibration is kept")
	for i := range 4 {
		require.NoError(t, shelf.AppendHistory(file, calibtest.Aged("E7", i, 99-0.8*float64(i))))
	}
	require.NoError(t, shelf.AppendHistory(file, calibtest.Aged("E8", 2, 97)))
	f, err := os.OpenFile(file, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = io.WriteString(f, `{"format":1,"at":"2026`) // the power went
	require.NoError(t, err)
	require.NoError(t, f.Close())
	require.NoError(t, shelf.AppendHistory(file, calibtest.Aged("E8", 3, 96.5)))
	out, status, told = runCalibrate(t, strings.NewReader(""), "--history", "--file", file)
	assert.Equal(t, manners.ExitOK, status)
	assert.Contains(t, told, "line 6 cannot be read")
	assert.Equal(t, 2, strings.Count(out, "electrode E"))
	assert.Contains(t, out, "slope 99.0 → 96.6 % over 90 days, 4 calibrations, -0.8 % a month")
	assert.Contains(t, out, "three or more calibrations")
	out, _, told = runCalibrate(t, strings.NewReader(""), "--history", "--electrode", "E9", "--file", file)
	assert.Empty(t, out)
	assert.Contains(t, told, "none of the 6 calibrations in "+file+" is of electrode E9; there are E7, E8")
	assert.Contains(t, told, "is it E7 or E8?")
	out, _, _ = runCalibrate(t, strings.NewReader(""), "--history", "--electrode", "e-8", "--file", file)
	assert.Equal(t, 2, strings.Count(out, "accepted"))
	assert.NotContains(t, out, "E7")
}

// Values read off a meter that is not: the electrode of 97 % and +5 mV shows
// 5 − 0.97 · 58.37 · (7.016 − 7) = 4.1 mV and 5 + 0.97 · 58.37 · 2.998 = 174.7 mV at 21
// °C; the meter with keys of its own, a pH.
func TestCalibrateTyped(t *testing.T) {
	typed := func(lines string, args ...string) (string, int, string) {
		return runCalibrate(t, strings.NewReader(lines), append([]string{"--typed", "--temp", "21", "--standards", "7.00,4.01", "--file", filepath.Join(t.TempDir(), "h.jsonl")}, args...)...)
	}
	out, status, told := typed("4.1 mV\n174,7 mv\n")
	require.Equal(t, manners.ExitOK, status, told)
	assert.Contains(t, out, "slope 97.0 ± ")
	assert.Contains(t, out, "offset +5.0 ± ")
	assert.Contains(t, out, "read off and typed: ")
	out, status, told = typed("7.03\npH 4.02\n")
	require.Equal(t, manners.ExitOK, status, told)
	assert.Contains(t, out, "check of the meter at 21.0 °C: off by +0.018 at most, accepted")
	_, status, told = typed("7.03\nwarm\n6.9\ntake\n")
	require.Equal(t, manners.ExitMissed, status, told)
	assert.Contains(t, told, "type what the meter shows")
	assert.Contains(t, told, "it reads as 7.00 should: is the electrode in that beaker?")
	for args, want := range map[string]string{"--typed --sim --temp 20": "not connected", "--typed --temp 0": "outside 0.5–60 °C"} {
		_, status, told := runCalibrate(t, strings.NewReader(""), strings.Fields(args)...)
		assert.Equal(t, manners.ExitUsage, status)
		assert.Contains(t, told, want)
	}
	_, status, told = typed("7.03\n")
	assert.Equal(t, manners.ExitFailed, status)
	assert.Contains(t, told, "the input ended")

	// Without --temp it is asked for before anything else, and nothing goes on without.
	out, status, told = runCalibrate(t, strings.NewReader("\n7.03\n99\n21,0 C\n7.03\n4.02\n"), "--typed", "--standards", "7.00,4.01", "--file", filepath.Join(t.TempDir(), "h.jsonl"))
	require.Equal(t, manners.ExitOK, status, told)
	assert.Contains(t, out, "check of the meter at 21.0 °C: off by +0.018 at most, accepted")
	assert.Contains(t, told, "the pH of a standard")
	assert.Contains(t, told, "99 °C: a standard on a bench is at")
	_, status, told = runCalibrate(t, strings.NewReader("58\n"), "--typed", "--standards", "7.00,4.01", "--file", filepath.Join(t.TempDir(), "h.jsonl"))
	assert.NotEqual(t, manners.ExitOK, status)
	assert.Contains(t, told, "nothing is known of 7.00 at 58.0 °C")
}

// What is asked for in lines fits a terminal of 80 columns as it is: lines that the terminal
// broke again left single words behind.
func TestCalibratingInLinesFitsATerminal(t *testing.T) {
	for _, args := range [][]string{{"--typed", "--temp", "21"}, {"--sim"}} {
		out, _, told := runCalibrate(t, strings.NewReader(""), append(args, "--standards", "7.00,4.01", "--file", filepath.Join(t.TempDir(), "h.jsonl"))...)
		require.Contains(t, told+out, "filling hole open")
		for _, line := range strings.Split(told+out, "\n") {
			if strings.HasPrefix(line, "  ") {
				assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
			}
		}
	}
}
