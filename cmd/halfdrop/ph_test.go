package main

import (
	"bytes"
	"encoding/json"
	"testing"

	"example.org/halfdrop/meter/sheet"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// runCommand is what a command prints and the error it ends with.
func runCommand(cmd *cobra.Command, args ...string) (stdout, stderr string, err error) {
	var out, talk bytes.Buffer
	cmd.SetArgs(args)
	cmd.SetOut(&out)
	cmd.SetErr(&talk)
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	err = cmd.Execute()
	return out.String(), talk.String(), err
}

func phOf(t *testing.T, args ...string) map[string]float64 {
	t.Helper()
	out, _, err := runCommand(newPhCommand(), append(args, "--json")...)
	require.NoError(t, err)
	var m map[string]float64
	require.NoError(t, json.Unmarshal([]byte(out), &m))
	return m
}

// The mixture of the design: 50 mL of 0.1 M KH2PO4 with 29.1 mL of 0.1 M NaOH
// made up to 100 mL is pH 7.00 at 25 °C: V. E. Bower & R. G. Bates, J. Res.
// NBS 55, 197 (1955).
func TestPhJSONHasTheFiveNumbers(t *testing.T) {
	m := phOf(t, "--temp", "25", "--ml", "100", "KH2PO4 5 mmol", "NaOH 2.91 mmol")
	require.Len(t, m, 5)
	for _, k := range []string{"ph", "ionic_strength", "buffer_capacity", "dph_dt", "spread"} {
		require.Contains(t, m, k)
	}
	assert.InDelta(t, 7.00, m["ph"], 0.02)
	assert.InDelta(t, 0.031, m["buffer_capacity"], 0.003)
}

// Equimolal phosphate: pH(S) 6.865 at 25 °C, Bates, J. Res. NBS 66A, 179 (1962).
func TestPhByWaterMassAndByGrams(t *testing.T) {
	m := phOf(t, "--kg-water", "1", "KH2PO4 25 mmol", "Na2HPO4 25 mmol")
	assert.InDelta(t, 6.865, m["ph"], 0.012)
	assert.InDelta(t, 0.1, m["ionic_strength"], 0.001)
	g := phOf(t, "--kg-water", "1", "KH2PO4 3402.1 mg", "disodium phosphate heptahydrate 6.7016 g")
	assert.InDelta(t, m["ph"], g["ph"], 1e-4)
}

func TestPhOptions(t *testing.T) {
	closed := phOf(t, "--ml", "100", "Tris 5 mmol")
	open := phOf(t, "--ml", "100", "--open-air", "Tris 5 mmol")
	assert.Less(t, open["ph"], closed["ph"]-1)
	acid := []string{"--ml", "1000", "HCl 0.1 mol"}
	assert.InDelta(t, 1, phOf(t, append(acid, "--ideal")...)["ph"], 0.004) // the acid takes up 2 mL of the litre
	davies := phOf(t, append(acid, "--davies")...)["ph"]
	assert.InDelta(t, 1.10, davies, 0.03)
	assert.Greater(t, phOf(t, acid...)["ph"], 1.05)
	out, _, err := runCommand(newPhCommand(), "--ml", "100", "--species", "DIPSO 5 mmol", "NaOH 2 mmol")
	require.NoError(t, err)
	assert.Contains(t, out, "unverified")
	assert.Contains(t, out, "DIPSO")
}

// Concentrations and stocks count for the volume: the same mixture said twice.
func TestPhTakesConcentrations(t *testing.T) {
	a := phOf(t, "--ml", "500", "Tris 25 mmol", "HCl 12.5 mmol", "NaCl 50 mmol")
	b := phOf(t, "--ml", "500", "Tris 50 mM", "HCl 1 M 12.5 mL", "100 mM NaCl")
	assert.InDelta(t, a["ph"], b["ph"], 1e-6)
	assert.InDelta(t, a["ionic_strength"], b["ionic_strength"], 1e-6)
}

func TestPhSaysWhatItTook(t *testing.T) {
	_, talk, err := runCommand(newPhCommand(), "--ml", "100", "EDTA 1 mmol", "conc. HCl 1 mL")
	require.NoError(t, err)
	assert.Contains(t, talk, `"EDTA" is taken as EDTA disodium salt dihydrate`)
	assert.Contains(t, talk, "37.2 % by mass, 12.1 M")
}

func TestPhSaysWhatItDoubts(t *testing.T) {
	_, talk, err := runCommand(newPhCommand(), "--ml", "100", "NaCl 0.33 mol", "Tris 5 mmol")
	require.NoError(t, err)
	assert.Contains(t, talk, "above 3 mol/kg")
	_, talk, err = runCommand(newPhCommand(), "--ml", "100", "Bis-Tris propane 5 mmol", "HCl 5 mmol")
	require.NoError(t, err)
	assert.Contains(t, talk, "unverified")
}

func TestPhRefuses(t *testing.T) {
	for _, tc := range []struct {
		name string
		args []string
		want string
	}{
		{"nothing", []string{"--ml", "100"}, "empty mixture"},
		{"a zero amount", []string{"--ml", "100", "Tris 0 mmol"}, "nothing in the solution"},
		{"unknown reagent", []string{"--ml", "100", "HEPSE 5 mmol"}, "did you mean HEPES"},
		{"hydrate not said", []string{"--ml", "100", "Na2HPO4 1 g"}, "heptahydrate"},
		{"which phosphate", []string{"--ml", "100", "sodium phosphate 1 mmol"}, "disodium phosphate"},
		{"a mass of acid", []string{"--ml", "100", "HCl 1 g"}, "mol/L"},
		{"wrong unit", []string{"--ml", "100", "Tris 5 stone"}, "unit"},
		{"a concentration in no volume", []string{"--kg-water", "1", "Tris 5 mM"}, "unit"},
		{"two unknown ones", []string{"--ml", "100", "HEPSE 5 mmol", "Tris 5 mmol", "Triss 5 mM"}, "did you mean HEPES"},
		{"both are named", []string{"--ml", "100", "HEPSE 5 mmol", "Tris 5 mmol", "Triss 5 mmol"}, "did you mean Tris?"},
		{"one of several", []string{"--ml", "100", "phosphate 5 mmol"}, "disodium phosphate"},
		{"unknown, in mM", []string{"--ml", "100", "HEPSE 5 mM"}, "did you mean HEPES"},
		{"no unit", []string{"--ml", "100", "Tris 5"}, "NAME AMOUNT UNIT"},
		{"negative", []string{"--ml", "100", "Tris -5 mmol"}, "below zero"},
		{"NaN", []string{"--ml", "100", "Tris NaN mmol"}, "not a number"},
		{"infinite", []string{"--ml", "100", "Tris +Inf mmol"}, "not a number"},
		{"too cold", []string{"--ml", "100", "--temp", "-1", "Tris 5 mmol"}, "0 to 60"},
		{"too hot", []string{"--ml", "100", "--temp", "61", "Tris 5 mmol"}, "0 to 60"},
		{"NaN temperature", []string{"--ml", "100", "--temp", "NaN", "Tris 5 mmol"}, "0 to 60"},
		{"no volume", []string{"Tris 5 mmol"}, "--ml"},
		{"negative volume", []string{"--ml", "-100", "Tris 5 mmol"}, "--ml"},
		{"NaN volume", []string{"--ml", "NaN", "Tris 5 mmol"}, "--ml"},
		{"NaN water", []string{"--kg-water", "NaN", "Tris 5 mmol"}, "--kg-water"},
		{"both", []string{"--ml", "100", "--kg-water", "1", "Tris 5 mmol"}, "exclude"},
		{"absurd", []string{"--ml", "100", "Tris 5 mol"}, "too concentrated"},
		{"more than dissolves", []string{"--ml", "100", "NaCl 60 g"}, "dissolves"},
		{"two laws", []string{"--ml", "100", "--ideal", "--davies", "Tris 5 mmol"}, "exclude"},
		{"no molar mass", []string{"--ml", "100", "PEG 8000 5 mmol"}, "mixture"},
		{"two things called so", []string{"--ml", "100", "AMP 5 mmol"}, "2-amino-2-methyl-1-propanol"},
		{"air", []string{"--ml", "100", "--open-air=-5", "Tris 5 mmol"}, "--open-air"},
	} {
		out, _, err := runCommand(newPhCommand(), tc.args...)
		require.Error(t, err, tc.name)
		assert.Empty(t, out, tc.name)
		said := err.Error()
		assert.Contains(t, said, tc.want, tc.name)
	}
}

// --json --species: what is there, how much of a metal ion is free, which salts
// are near, and what the doubt is made of.
func TestPhJSONSpecies(t *testing.T) {
	out, _, err := runCommand(newPhCommand(), "--ml", "1000", "--json", "--species", "HEPES 20 mmol", "KOH 12 mmol", "CaCl2 1 mmol", "NaH2PO4 2 mmol", "EDTA 0.5 mmol")
	require.NoError(t, err)
	var j sheet.MixtureJSON
	require.NoError(t, json.Unmarshal([]byte(out), &j))
	charge := 0.012*1.0 + 0.002 + 0.001 - 0.002 // K, Na, Na2EDTA, Cl, mol/L
	charge /= 0.996
	names := map[string]bool{}
	for _, s := range j.Species {
		names[s.Name] = true
		charge += float64(s.Charge) * s.Molality
	}
	assert.InDelta(t, 0, charge, 2e-4, "what is listed carries all charge")
	for _, n := range []string{"H+", "HEPES-", "HPO4(2-)", "Ca(2+)", "calcium EDTA(2-)"} {
		assert.True(t, names[n], n)
	}
	assert.InDelta(t, 0.001, j.Total["calcium"], 1e-5)
	assert.Less(t, j.Free["calcium"], 0.0006)
	assert.Greater(t, j.Free["calcium"], 0.0003)
	assert.Contains(t, j.Saturation, "CaHPO4·2H2O")
	assert.NotEmpty(t, j.Doubts)
	sum := 0.0
	for _, d := range j.Doubts {
		if d.Words == "" {
			sum += d.SD * d.SD
		}
	}
	assert.InDelta(t, j.Spread*j.Spread, sum, 1e-5, "the doubts add up")
}
