package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/shelf"
	"github.com/stretchr/testify/require"
)

// benchOf is a file with one run in it.
func benchOf(t *testing.T) string {
	t.Helper()
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	path := filepath.Join(t.TempDir(), "bench.toml")
	var b bench.Book
	r := bench.Run{At: time.Now().Add(-24 * time.Hour).Truncate(time.Second), Plan: "a buffer", Journal: "run.jsonl", SharedSDPct: 1.5,
		Drops: []bench.Drop{{Dropper: "blue", Bottle: "B7", Reagent: "sodium hydroxide", Molar: 1, DropUL: 50, Umol: 60, SDPct: 2}}}
	b.Put(r)
	require.NoError(t, shelf.WriteBench(path, b))
	return path
}

func benchSays(t *testing.T, args ...string) (string, error) {
	t.Helper()
	var out bytes.Buffer
	root := newRootCommand()
	root.SetArgs(args)
	root.SetOut(&out)
	root.SetErr(io.Discard)
	err := root.Execute()
	return out.String(), err
}

// TestBenchIsShownCorrectedAndForgotten by its command, and the file is for nobody
// else to read.
func TestBenchIsShownCorrectedAndForgotten(t *testing.T) {
	path := benchOf(t)
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm())

	_, err = benchSays(t, "bench", "--file", path) // what --bench was called
	require.NoError(t, err)
	out, err := benchSays(t, "bench", "--bench", path)
	require.NoError(t, err)
	for _, w := range []string{"blue", "B7", "1.1", "a buffer", "run.jsonl", "not its size and the strength", "Age widens all this: a drop by 1 %"} {
		require.Contains(t, out, w)
	}
	_, err = benchSays(t, "bench", "state", "B7", "--molar", "1.2", "--sd", "0.3", "--file", path)
	require.NoError(t, err)
	b, err := shelf.ReadBench(path)
	require.NoError(t, err)
	require.InDelta(t, 1.2, b.Known(time.Now())[0].MolarNow, 0.01)
	_, err = benchSays(t, "bench", "state", "B7", "--molar", "120", "--file", path)
	require.Error(t, err)
	_, err = benchSays(t, "bench", "forget", "B9", "--file", path)
	require.Error(t, err)
	_, err = benchSays(t, "bench", "forget", "b7", "--file", path)
	require.NoError(t, err)
	out, err = benchSays(t, "bench", "--file", path)
	require.NoError(t, err)
	require.Contains(t, out, "nothing is known yet")
}

// TestDamagedBenchIsNamed: a file that was edited badly is an error with its name,
// never a prior.
func TestDamagedBenchIsNamed(t *testing.T) {
	path := benchOf(t)
	good, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, edit := range [][2]string{{"umol_a_drop = 60.0", "umol_a_drop = 6000.0"}, {"sd_pct = 2.0", "sd_pct = -1.0"}, {"plan =", "plam ="}, {"sd_pct = 2.0", "sd_pct = nan"}} {
		bad := bytes.Replace(good, []byte(edit[0]), []byte(edit[1]), 1)
		require.NotEqual(t, good, bad, "%v", edit)
		require.NoError(t, os.WriteFile(path, bad, 0o600))
		_, err := shelf.ReadBench(path)
		require.ErrorContains(t, err, path, "%v", edit)
	}
}

// TestRunTakesOverWhatIsKnown into its start event, and not with --forget.
func TestRunTakesOverWhatIsKnown(t *testing.T) {
	path := benchOf(t)
	p, err := planfile.Decode("demo", planfile.Demo)
	require.NoError(t, err)
	p.Titrants[0].Bottle, p.Titrants[0].Dropper = "B7", "blue"
	start := func(forget bool) (journal.Event, string) {
		m := shelf.Memory{Sim: true, Path: path, Forget: forget}
		first, err := keep.Begin(p, time.Now(), keep.Origin{Program: madeBy(), Source: "test"})
		require.NoError(t, err)
		var talk bytes.Buffer
		require.NoError(t, m.TakeOver(p, &first, &talk))
		return first, talk.String()
	}
	first, talk := start(false)
	var taken bench.Taken
	require.NoError(t, json.Unmarshal(first.Start.Known, &taken))
	require.Greater(t, taken.Stocks[0].Factor, 1.1)
	require.Contains(t, talk, "a drop of NaOH 1 M brings 1.1")
	first, talk = start(true)
	require.Empty(t, first.Start.Known)
	require.Empty(t, talk)
	at, err := shelf.Memory{Sim: true}.File()
	require.NoError(t, err)
	require.Empty(t, at, "a simulated bench is another each time")
}
