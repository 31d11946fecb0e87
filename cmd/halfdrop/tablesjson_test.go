package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/sim"
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
