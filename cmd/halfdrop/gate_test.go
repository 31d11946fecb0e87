package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
)

// The built-in plan with one thing changed.
func changed(old, new string) []byte {
	return []byte(strings.Replace(string(demoPlan), old, new, 1))
}

// What no bench has is refused with line and column, and never panics.
func TestPlanGate(t *testing.T) {
	nine := string(demoPlan)
	for i := range 6 {
		nine += fmt.Sprintf("\n[[titrant]]\nname = \"more %d\"\nreagent = \"NaOH\"\nmolar = 0.5\n", i)
	}
	for name, tt := range map[string]struct {
		data []byte
		says string
	}{
		"nine titrants":     {[]byte(nine), "titrant: 9 of them; the coach has room for 8"},
		"next to nothing":   {changed("start_ml = 200", "start_ml = 1e-300"), "p.toml:10:1: beaker.start_ml: 1e-300 is outside 1 to 100000 mL"},
		"a lake":            {changed("final_ml = 250", "final_ml = 1e9"), "beaker.final_ml: 1e+09 is outside"},
		"not a number":      {changed("start_ml = 200", "start_ml = nan"), "beaker.start_ml: NaN is outside"},
		"a NUL":             {changed("NaOH 1 M", `Na\u0000OH`), `titrant[1].name: character 3 is \x00, which is no text`},
		"an escape":         {changed(`name = "MOPS`, `name = "\u001b[2J`), `name: character 1 is \x1b`},
		"written backwards": {changed(`name = "MOPS`, `name = "\u202e`), `name: character 1 is \u202e`},
		"an empty name":     {changed(`name = "NaOH 1 M"`, `name = ""`), "titrant[1].name: an empty name"},
		"a blank name":      {changed(`name = "NaOH 1 M"`, `name = "  "`), "titrant[1].name: an empty name"},
		"a long name":       {changed(`name = "NaOH 1 M"`, `name = "`+strings.Repeat("x", 500)+`"`), "titrant[1].name: 500 characters; 120 are possible"},
		"hardly a base":     {changed("molar = 1.0", "molar = 1e-12"), "titrant[1].molar: 1e-12 is outside"},
		"a milligram":       {changed("mmol = 5.0", "mmol = 1e-9"), "weighed[1].mmol: 1e-09 is outside"},
	} {
		require.NotEqual(t, string(demoPlan), string(tt.data), name)
		_, err := decodePlan("p.toml", tt.data)
		assert.ErrorContains(t, err, tt.says, name)
		assert.Regexp(t, `p\.toml:\d+:\d+: `, err, name)
	}
	_, err := decodePlan("p.toml", demoPlan)
	assert.NoError(t, err)
}

// What the recipe finds wrong has its place as well.
func TestPlanProblemsHaveTheirPlace(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.toml")
	require.NoError(t, os.WriteFile(path, changed("final_ml = 250", "final_ml = 100"), 0o600))
	_, err := loadPlan(path)
	assert.ErrorContains(t, err, "p.toml:11:1: beaker.final_ml: the mark at 100 mL is below")
	require.NoError(t, os.WriteFile(path, []byte("name = \"\xff\"\n"), 0o600))
	_, err = loadPlan(path)
	assert.ErrorContains(t, err, "p.toml:1:9: a byte that is no text in UTF-8")
	require.NoError(t, os.WriteFile(path, bytes.Repeat([]byte("# long\n"), 100_000), 0o600))
	_, err = loadPlan(path)
	assert.ErrorContains(t, err, "more than 256 KiB")
}

// A line over the limit is answered, also the last one, and the filter goes on.
func TestAdviseAnswersLongLines(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.toml")
	require.NoError(t, os.WriteFile(path, demoPlan, 0o600))
	a, done, err := newAdviser(path, "", memory{sim: true}, io.Discard)
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
	plan, err := decodePlan("x", demoPlan)
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
