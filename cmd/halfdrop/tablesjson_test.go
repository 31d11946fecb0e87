package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTablesAreThereAsJSON: what a command lists for people it lists for programs, too.
func TestTablesAreThereAsJSON(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	as := func(into any, args ...string) {
		t.Helper()
		out, errs, code := configured(t, "", args...)
		require.Equal(t, manners.ExitOK, code, errs)
		require.NoError(t, json.Unmarshal([]byte(out), into), "%v: %s", args, out)
	}
	_, _, code := configured(t, "", "bench", "state", "B7", "--molar", "1.012", "--sd", "0.3")
	require.Equal(t, manners.ExitOK, code)
	var known struct {
		Drops  []any
		Stated []struct {
			Bottle string
			Molar  float64
		}
	}
	as(&known, "bench", "--json")
	require.Len(t, known.Stated, 1)
	assert.Equal(t, "B7", known.Stated[0].Bottle)
	assert.InDelta(t, 1.012, known.Stated[0].Molar, 1e-9)
	assert.NotNil(t, known.Drops, "an empty list is a list")
	out, _, _ := configured(t, "", "__complete", "bench", "forget", "")
	assert.Contains(t, strings.Split(out, "\n"), "B7")

	var exercises []struct {
		Number int
		Name   string
		Next   bool
	}
	as(&exercises, "practice", "--json")
	require.Len(t, exercises, len(exerciseNames()))
	assert.Equal(t, "first-buffer", exercises[0].Name)
	assert.True(t, exercises[0].Next, "nothing has been done yet")

	var faults []struct{ Name, Title, Sign, Cure string }
	as(&faults, "practice", "--faults", "--json")
	require.Len(t, faults, len(sim.Faults()))

	example, _, _ := configured(t, "", "find", "example")
	plan := filepath.Join(t.TempDir(), "naoh.toml")
	require.NoError(t, os.WriteFile(plan, []byte(example), 0o600))
	var prospect struct {
		Points []struct {
			ML   float64
			Main bool
		}
		SDRel float64 `json:"sd_rel"`
	}
	as(&prospect, "find", "check", "--json", plan)
	require.Len(t, prospect.Points, 1)
	assert.True(t, prospect.Points[0].Main)
	// 0.5106 g of potassium hydrogen phthalate, 204.22 g/mol, take 25.00 mL of 0.1 mol/L (arithmetic)
	assert.InDelta(t, 25.00, prospect.Points[0].ML, 0.05)
	assert.Greater(t, prospect.SDRel, 0.0)
}

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
	assert.Equal(t, "pipette", p.Titrants[0].By, "11 mL are not counted")
	for _, titrant := range p.Titrants[1:] {
		assert.InDelta(t, 40.1, *titrant.DropUL, 0.05)
		assert.Equal(t, 5.0, *titrant.DropSDPct)
	}
	_, p, _ = planned(t, "--ph", "7.4", "--ml", "180")
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
