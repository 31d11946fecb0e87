package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/shelf"
)

// A line over the limit is answered, also the last one, and the filter goes on.
func TestAdviseAnswersLongLines(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.toml")
	require.NoError(t, os.WriteFile(path, planfile.Demo, 0o600))
	a, done, err := newAdviser(path, "", shelf.Memory{Sim: true}, io.Discard)
	require.NoError(t, err)
	defer done()
	long := strings.Repeat("x", 3*maxLine)
	var out bytes.Buffer
	require.NoError(t, a.filter(strings.NewReader("{\"t\":0,\"ph\":5.2}\n"+long+"\n{\"t\":1,\"ph\":5.2}\n"+strings.Repeat("y", maxLine)+"\n\n"+long), &out))
	got := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, got, 6)
	for i, says := range []string{`"do"`, "a line of more than", `"do"`, "a line of more than", "an empty line", "a line of more than"} {
		assert.Contains(t, got[i], says, i)
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
	first, err := startEvent(plan, start, "fake\x1b[1m", "=operator\x1b[3m")
	require.NoError(t, err)
	w, err := journal.Create(path, first)
	require.NoError(t, err)
	k, err := run.NewKeeper(first, w, func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) })
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
