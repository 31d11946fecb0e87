package main

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
)

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
