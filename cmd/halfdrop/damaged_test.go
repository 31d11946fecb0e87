package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
)

// smallRun is a journal of some readings and two additions.
func smallRun(t *testing.T) []byte {
	t.Helper()
	plan, err := planfile.Decode("x", planfile.Demo)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "run.jsonl")
	start := time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC)
	first, err := keep.Begin(plan, start, keep.Origin{Program: madeBy(), Source: "fake"})
	require.NoError(t, err)
	w, err := journal.Create(path, first)
	require.NoError(t, err)
	k, err := keep.NewKeeper(first, w, func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) })
	require.NoError(t, err)
	for i := range 40 {
		ph := 5.2 + 0.01*float64(i%3)
		require.NoError(t, k.Take(journal.Event{T: float64(i), Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2}, Raw: "pH 5.20"}))
		if i%15 == 14 {
			require.NoError(t, k.Take(journal.Event{T: float64(i), Kind: journal.Added, Added: &journal.Addition{Titrant: "NaOH 1 M", Drops: 3, ML: 0.15}}))
		}
	}
	require.NoError(t, k.Take(journal.Event{T: 40, Kind: journal.Ended, End: &journal.End{Outcome: "left"}}))
	require.NoError(t, w.Close())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

// lines of a journal, each with its end.
func journalLines(data []byte) [][]byte {
	l := bytes.SplitAfter(data, []byte("\n"))
	return l[:len(l)-1]
}

// Every kind of damage is recognised for what it is, said in one sentence by
// check, and replay and report open what is sound and say so on every output.
func TestDamagedJournalsAreOpened(t *testing.T) {
	data := smallRun(t)
	l := journalLines(data)
	n := len(l)
	for name, tt := range map[string]struct {
		file    []byte
		says    string
		status  int // of replay
		faults  int // of check
		opens   bool
		resumes bool
	}{
		"CRLF":                   {bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n")), "changed the line ends", manners.ExitOK, 1, true, false},
		"BOM":                    {append([]byte("\xef\xbb\xbf"), data...), "byte order mark", manners.ExitOK, 1, true, false},
		"CRLF and BOM":           {append([]byte("\xef\xbb\xbf"), bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n"))...), "byte order mark, and", manners.ExitOK, 1, true, false},
		"doubled":                {append(bytes.Clone(data), data...), "the file holds it twice", manners.ExitDamaged, 1, true, false},
		"cut short":              {data[:len(data)-20], "torn", manners.ExitOK, 1, true, true},
		"cut in the middle":      {append(bytes.Join(l[:20], nil), bytes.Join(l[25:], nil)...), "events 21 to 25 are missing", manners.ExitDamaged, 1, true, false},
		"one bit in the middle":  {flipped(data, bytes.Index(data, l[20])+30), "damaged at line 21", manners.ExitDamaged, 1, true, false},
		"beginning cut":          {bytes.Join(l[5:], nil), "its beginning is missing, the file begins with event 6", manners.ExitFailed, 1, false, false},
		"UTF-16":                 {append([]byte("\xff\xfe"), bytes.ReplaceAll(data, []byte("{"), []byte("{\x00"))...), "", manners.ExitFailed, -1, false, false},
		"another journal behind": {append(bytes.Clone(data), smallOther(t)...), "another journal begins here", manners.ExitDamaged, -1, true, false},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "run.jsonl")
			require.NoError(t, os.WriteFile(path, tt.file, 0o600))
			r, err := journal.CheckFile(path)
			require.NoError(t, err)
			if tt.faults >= 0 {
				assert.Len(t, r.Faults, tt.faults, "%v", r.Faults)
			}
			assert.NotEmpty(t, r.Faults)
			outputs := map[string][]string{"text": {"replay", "--summary", path}, "lines": {"replay", "--plain", path}, "json": {"replay", "--json", path}, "csv": {"report", path, "--csv"},
				"readings": {"report", path, "--readings"}, "report json": {"report", path, "--json"}, "svg": {"report", path, "--svg"}, "html": {"report", path}}
			for kind, args := range outputs {
				out, talk, status := ran(t, args...)
				assert.Equal(t, tt.status, status, "%s: %s", kind, talk)
				if !tt.opens {
					assert.Empty(t, out, kind)
					assert.Contains(t, talk, tt.says, kind)
					if strings.Contains(tt.says, "its beginning") {
						assert.NotContains(t, talk, "not a halfdrop journal", "it is one, without its first lines")
					}
					continue
				}
				assert.Contains(t, strings.Join(strings.Fields(out), " "), marked(tt.says, kind), kind)
				assert.Contains(t, talk, tt.says, kind)
				if strings.HasSuffix(kind, "json") {
					assert.True(t, json.Valid([]byte(out)))
				}
			}
			_, err = keep.Resume(path, time.Now())
			assert.Equal(t, tt.resumes, err == nil, "%v", err)
		})
	}
	assert.Greater(t, n, 40)
}

// marked is what each output says of a journal that is not whole: the figure has
// room for the beginning only.
func marked(says, kind string) string {
	if kind == "svg" {
		return "NOT WHOLE: "
	}
	return says
}

func flipped(data []byte, at int) []byte {
	out := bytes.Clone(data)
	out[at] ^= 1
	return out
}

// smallOther is another journal than smallRun.
func smallOther(t *testing.T) []byte {
	path := filepath.Join(t.TempDir(), "other.jsonl")
	plan, err := planfile.Decode("x", planfile.Demo)
	require.NoError(t, err)
	first, err := keep.Begin(plan, time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), keep.Origin{Program: madeBy(), Source: "other"})
	require.NoError(t, err)
	w, err := journal.Create(path, first)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return data
}

// ran runs a command line in this process and gives its output, its talk and its status.
func ran(t *testing.T, args ...string) (out, talk string, status int) {
	t.Helper()
	var o, e bytes.Buffer
	root := newRootCommand()
	root.SetArgs(args)
	root.SetIn(strings.NewReader(""))
	root.SetOut(&o)
	root.SetErr(&e)
	status = manners.Tell(&e, root.ExecuteContext(t.Context()))
	return o.String(), e.String(), status
}
