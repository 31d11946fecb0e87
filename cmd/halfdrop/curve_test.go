package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const hepesPlan = `name = "HEPES 25 mM for the cold room"
[target]
ph = 7.40
tolerance = 0.02
use_temp_c = 4.0
[beaker]
start_ml = 400
final_ml = 500
temp_c = 21.5
[[weighed]]
reagent = "HEPES"
mmol = 12.5
[[titrant]]
name = "NaOH 1 M"
reagent = "NaOH"
molar = 1.0
[[titrant]]
name = "HCl 0.1 M"
reagent = "HCl"
molar = 0.1
`

func planFile(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "plan.toml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func TestCurveAsCSV(t *testing.T) {
	out, _, err := runCommand(newCurveCommand(), "--plan", planFile(t, hepesPlan), "--points", "101")
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 102)
	before := -math.MaxFloat64
	for _, r := range rows[1:] {
		ph, err := strconv.ParseFloat(r[1], 64)
		require.NoError(t, err)
		require.Greater(t, ph, before)
		before = ph
	}
}

// HEPES falls by 0.014 per °C, so the bench must be about 0.24 below the
// target of 7.40 at 4 °C. At the bench, 21.5 °C, pK 7.564 is about 7.61 and
// half neutralised is a little below that.
func TestCurveAimsAtThePHOfUse(t *testing.T) {
	out, _, err := runCommand(newCurveCommand(), "--plan", planFile(t, hepesPlan), "--svg")
	require.NoError(t, err)
	p, err := planfile.Load(planFile(t, hepesPlan))
	require.NoError(t, err)
	set, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := set.Bench(set.BenchTemp)
	require.NoError(t, err)
	coached := b.Forecast()
	assert.InDelta(t, 7.155, coached.Aim, 0.02)
	for _, want := range []string{
		"<svg", "volume of NaOH 1 M added / mL", "equivalence 12.5 mL",
		fmt.Sprintf("aim %.2f ± 0.02, near %.3g mL", coached.Aim, 1e3*coached.Need[0]), // what the coach steers to
	} {
		assert.True(t, strings.Contains(out, want), want)
	}
	acid, _, err := runCommand(newCurveCommand(), "--plan", planFile(t, hepesPlan), "--svg", "--titrant", "hcl 0.1 m")
	require.NoError(t, err)
	assert.True(t, strings.Contains(acid, "HCl 0.1 M added"))
	ideal, _, err := runCommand(newCurveCommand(), "--plan", planFile(t, hepesPlan), "--svg", "--ideal")
	require.NoError(t, err)
	assert.True(t, strings.Contains(ideal, "no activities"))
	assert.True(t, out != ideal)
}

func TestCurveRefuses(t *testing.T) {
	good := planFile(t, hepesPlan)
	for _, tc := range []struct {
		args []string
		want string
	}{
		{nil, "no plan"},
		{[]string{"--plan", good, "--points", "1"}, "--points"},
		{[]string{"--plan", good, "--to-ml", "-3"}, "--to-ml"},
		{[]string{"--plan", good, "--to-ml", "NaN"}, "--to-ml"},
		{[]string{"--plan", good, "--titrant", "KOH"}, "NaOH 1 M"},
		{[]string{"--plan", planFile(t, strings.Replace(hepesPlan, `"HEPES"`, `"HEPSE"`, 1))}, "HEPES"},
		{[]string{"--plan", filepath.Join(t.TempDir(), "none.toml")}, "none.toml"},
	} {
		out, _, err := runCommand(newCurveCommand(), tc.args...)
		require.Error(t, err)
		assert.Empty(t, out)
		assert.Contains(t, err.Error(), tc.want)
	}
}
