package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
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

	out, err := benchSays(t, "bench", "--file", path)
	require.NoError(t, err)
	for _, w := range []string{"blue", "B7", "1.1", "a buffer", "run.jsonl", "not its size and the strength"} {
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
		ti := &titration{sim: true, benchPath: path, forget: forget}
		first, err := startEvent(p, time.Now(), "test", "")
		require.NoError(t, err)
		var talk bytes.Buffer
		require.NoError(t, ti.memory().TakeOver(p, &first, &talk))
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
	sim := &titration{sim: true}
	at, err := sim.memory().File()
	require.NoError(t, err)
	require.Empty(t, at, "a simulated bench is another each time")
}

// TestTheFilterRemembers: a run of the line protocol that ended well teaches what its
// bottles brought, and the next one begins with it; without names nothing is touched.
func TestTheFilterRemembers(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	file := filepath.Join(t.TempDir(), "bench.toml")
	for i, c := range []struct {
		bottle string
		known  bool
		runs   int
	}{{"", false, 0}, {"B7", false, 1}, {"B7", true, 1}} {
		plan := builtIn(t)
		plan.Titrants[0].Bottle = c.bottle
		path := filepath.Join(t.TempDir(), "plan.toml")
		require.NoError(t, os.WriteFile(path, encodePlan(t, plan), 0o600))
		var talk bytes.Buffer
		a, done, err := newAdviser(path, "", shelf.Memory{Path: file}, &talk)
		require.NoError(t, err)
		require.Equal(t, c.known, strings.Contains(talk.String(), "halfdrop: known: "), talk.String())
		require.Equal(t, c.known, !a.keeper.State.Taken().Empty())
		filtered(t, a, plan)
		done()
		b, err := shelf.ReadBench(file)
		require.NoError(t, err)
		if len(b.Runs) < c.runs || c.runs == 0 && len(b.Runs) > 0 {
			t.Fatalf("%d: %d runs in the file", i, len(b.Runs))
		}
	}
}

// filtered plays a run through an adviser to its end.
func filtered(t *testing.T, a *adviser, plan recipe.Plan) {
	t.Helper()
	setup, err := recipe.Compile(plan)
	require.NoError(t, err)
	b, err := sim.New(setup, sim.DefaultTruth(setup, 11))
	require.NoError(t, err)
	say := func(text string, args ...any) reply {
		r := a.line([]byte(fmt.Sprintf(text, args...)))
		require.Empty(t, r.Error)
		return r
	}
	for s := 1.0; s < 1500; s++ {
		b.Advance(s)
		switch r := say(`{"t":%g,"ph":%.2f}`, s, b.Read()); {
		case r.Do == "add" && r.Reason != "dosing":
			require.NoError(t, b.Dispense(r.Titrant, r.Drops, 0))
			say(`{"t":%g,"added":{"titrant":%q,"drops":%g}}`, s, r.Titrant, r.Drops)
		case r.Do == "stop":
			require.NoError(t, a.end())
			return
		}
	}
	t.Fatal("not done in 1500 s")
}
