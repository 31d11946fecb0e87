package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
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

// Escapes in names that a journal holds are shown as such by every command, and
// a spreadsheet gets no formula.
func TestNothingOfAJournalReachesTheTerminal(t *testing.T) {
	plan, err := planfile.Decode("x", planfile.Demo)
	require.NoError(t, err)
	plan.Name = "evil\x1b[2J\x07\u202ename"
	plan.Titrants[0].Name = "=cmd(1)\x1b]0;x\x07"
	path := filepath.Join(t.TempDir(), "run.jsonl")
	start := time.Now()
	first, err := keep.Begin(plan, start, keep.Origin{Program: madeBy(), Source: "fake\x1b[1m", Operator: "=operator\x1b[3m"})
	require.NoError(t, err)
	w, err := journal.Create(path, first)
	require.NoError(t, err)
	k, err := keep.NewKeeper(first, w, func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) })
	require.NoError(t, err)
	ph := 5.2
	require.NoError(t, k.Take(journal.Event{T: 1, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2}, Raw: "pH \x1b[5m5.20"}))
	require.NoError(t, k.Take(journal.Event{T: 2, Kind: journal.Added, Added: &journal.Addition{Titrant: plan.Titrants[0].Name, Drops: 3, ML: 0.15}}))
	require.NoError(t, k.Take(journal.Event{T: 3, Kind: journal.Remarked, Remark: &journal.Remark{Text: "remark\x1b[2J"}}))
	require.NoError(t, w.Close())
	for _, args := range [][]string{
		{"replay", "--summary", path}, {"replay", "--json", path}, {"check", path}, {"report", path, "--csv"},
		{"report", path, "--readings"}, {"report", path, "--json"}, {"report", path, "--svg"}, {"report", path},
	} {
		out, err := program(t, args...).CombinedOutput()
		require.NoError(t, err, "%v: %s", args, out)
		assert.NotContains(t, string(out), "\x1b", args)
		assert.NotContains(t, string(out), "\x07", args)
		assert.NotContains(t, string(out), "\u202e", args)
		if args[len(args)-1] == "--csv" {
			assert.Contains(t, string(out), `'=cmd(1)\x1b]0;x\x07`)
		}
	}
}
