package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

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
