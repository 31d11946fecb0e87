package main

import (
	"os"
	"strings"
	"testing"

	"example.org/halfdrop/meter/shelf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDroppers(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	t.Setenv("LocalAppData", t.TempDir())
	_, talk, err := runCommand(newPlanCommand(), "dropper")
	require.NoError(t, err)
	assert.Contains(t, talk, "no dropper has been measured yet")
	out, _, err := runCommand(newPlanCommand(), "dropper", "blue", "--grams", "0.98", "--titrant", "NaOH 1 M", "--temp", "20")
	require.NoError(t, err)
	assert.Contains(t, out, "47 µL", "0.98 g / 1.0403 g/mL / 20, the density from the CRC Handbook, from memory")
	_, _, err = runCommand(newPlanCommand(), "dropper", "Blue", "--grams", "0.80,0.81,0.79")
	require.NoError(t, err)
	out, _, err = runCommand(newPlanCommand(), "dropper")
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(strings.ToLower(out), "blue"), "kept per dropper")
	_, p, _ := planned(t, "--ph", "7.4", "--dropper", "blue")
	assert.InDelta(t, 40.1, *p.Titrants[0].DropUL, 0.05)
	assert.Equal(t, 5.0, *p.Titrants[0].DropSDPct)
	_, p, _ = planned(t, "--ph", "7.4")
	assert.Equal(t, 50.0, *p.Titrants[0].DropUL, "the default and its spread are written down")
	assert.Equal(t, 15.0, *p.Titrants[0].DropSDPct)
	for _, args := range [][]string{{"dropper", "x", "--grams", "98"}, {"dropper", "x", "--grams", "1", "--drops", "2"}, {"dropper", " ", "--grams", "1"},
		{"dropper", "x", "--grams", "1", "--titrant", "NaOH"}, {"dropper", "green"}, {"--ph", "7.4", "--dropper", "green"}} {
		_, _, err = runCommand(newPlanCommand(), args...)
		assert.Error(t, err, "%v", args)
	}
	path, err := shelf.DropperFile()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, []byte("[[dropper]]\nname = \"x\"\ndrop_ul = nan\ndrop_sd_pct = 10\n"), 0o644))
	_, _, err = runCommand(newPlanCommand(), "dropper")
	assert.ErrorContains(t, err, "is impossible")
}
