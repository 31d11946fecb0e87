package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// called runs the program as a process with something on standard input.
func called(t *testing.T, in string, args ...string) (out, talk string, status int) {
	t.Helper()
	c := program(t, args...)
	var o, e bytes.Buffer
	c.Stdin, c.Stdout, c.Stderr = strings.NewReader(in), &o, &e
	_ = c.Run() // the status says it
	return o.String(), e.String(), c.ProcessState.ExitCode()
}

// TestPlanToCurve: the plan that goes to standard output is a plan and nothing else,
// and what reads a plan takes it from there.
func TestPlanToCurve(t *testing.T) {
	plan, talk, status := called(t, "", "plan", "--ph", "7.4", "--out", "-")
	require.Equal(t, manners.ExitOK, status, talk)
	require.NoFileExists(t, "-")
	p, err := planfile.Decode("standard input", []byte(plan))
	require.NoError(t, err)
	assert.InDelta(t, 7.4, *p.Target.PH, 1e-9)
	table, talk, status := called(t, plan, "curve", "--plan", "-", "--points", "5")
	require.Equal(t, manners.ExitOK, status, talk)
	assert.Equal(t, 6, strings.Count(table, "\n"), "a head and five points")
	_, talk, status = called(t, "x = 1\n", "curve", "--plan", "-")
	assert.NotEqual(t, manners.ExitOK, status)
	assert.Contains(t, talk, ":1:1", "the place of what is wrong")
}

// TestJournalFromStandardInput: check, replay and report take a journal from
// standard input, and leave nothing of it behind.
func TestJournalFromStandardInput(t *testing.T) {
	tmp := t.TempDir()
	t.Setenv("TMPDIR", tmp)
	file := filepath.Join(t.TempDir(), "run.jsonl")
	_, talk, _ := called(t, "q\ny\n", "titrate", "--sim", "--seed", "7", "--plain", "--journal", file)
	data, err := os.ReadFile(file)
	require.NoError(t, err, talk)
	out, talk, status := called(t, string(data), "check", "-", "--json")
	require.Equal(t, manners.ExitOK, status, talk)
	var list []journal.CheckedJSON
	require.NoError(t, json.Unmarshal([]byte(out), &list))
	require.Len(t, list, 1)
	assert.True(t, list[0].Sound)
	assert.Equal(t, int64(bytes.Count(data, []byte("\n"))), list[0].Events)
	for _, args := range [][]string{{"replay", "-"}, {"replay", "-", "--json"}, {"report", "-", "--json"}} {
		out, talk, status := called(t, string(data), args...)
		assert.Equal(t, manners.ExitOK, status, "%v: %s", args, talk)
		assert.NotEmpty(t, out)
	}
	_, talk, status = called(t, string(data), "check", "-", "-")
	assert.Equal(t, manners.ExitUsage, status)
	assert.Contains(t, talk, "standard input can be read once")
	out, _, status = called(t, strings.Replace(string(data), `"kind":"end"`, `"kind":"edn"`, 1), "check", "-", "--json")
	assert.Equal(t, manners.ExitDamaged, status)
	require.NoError(t, json.Unmarshal([]byte(out), &list))
	assert.False(t, list[0].Sound)
	assert.NotEmpty(t, list[0].Faults)
	left, err := os.ReadDir(tmp)
	require.NoError(t, err)
	assert.Empty(t, left)
}

// TestTablesAsJSON: where there is a table there is JSON.
func TestTablesAsJSON(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	_, talk, status := called(t, "", "plan", "dropper", "blue", "--grams", "0.98,1.01,0.99")
	require.Equal(t, manners.ExitOK, status, talk)
	for want, args := range map[string][]string{
		`"drop_ul": 49.`: {"plan", "dropper", "--json"}, "[": {"ports", "--json"}, `"HEPES"`: {"plan", "--ph", "7.4", "--list", "--json"},
	} {
		out, talk, status := called(t, "", args...)
		assert.Equal(t, manners.ExitOK, status, talk)
		var any any
		assert.NoError(t, json.Unmarshal([]byte(out), &any), "%v: %s", args, out)
		assert.Contains(t, out, want)
	}
}
