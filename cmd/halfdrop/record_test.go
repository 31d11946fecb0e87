package main

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/protocol"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/shelf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// recorded is the journal of a short run through the line protocol: a dose far
// too large, then the end of input.
func onRecord(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	plan, path := filepath.Join(dir, "plan.toml"), filepath.Join(dir, "run.jsonl")
	require.NoError(t, os.WriteFile(plan, planfile.Demo, 0o600))
	a, done, err := protocol.Open("halfdrop test", plan, path, shelf.Memory{Sim: true}, io.Discard)
	require.NoError(t, err)
	var in bytes.Buffer
	say := func(from, to int, ph string) {
		for s := from; s < to; s++ {
			json.NewEncoder(&in).Encode(map[string]any{"t": s, "ph": json.Number(ph)})
		}
	}
	say(0, 60, "4.55")
	in.WriteString(`{"t":60,"added":{"titrant":"NaOH 1 M","drops":70}}` + "\n")
	say(60, 140, "7.61")
	require.NoError(t, a.Run(&in, io.Discard))
	done()
	return path
}

// output is what the command line prints, and its error.
func output(args ...string) (string, error) {
	var out, talk bytes.Buffer
	root := newRootCommand()
	root.SetArgs(args)
	root.SetOut(&out)
	root.SetErr(&talk)
	err := root.Execute()
	return out.String(), err
}

func TestReplaySummaryAndData(t *testing.T) {
	path := onRecord(t)
	text, err := output("replay", path) // no terminal: the summary
	require.NoError(t, err)
	again, err := output("replay", "--summary", path)
	require.NoError(t, err)
	assert.Equal(t, text, again)
	assert.Contains(t, text, "OVERSHOOT")
	assert.Contains(t, text, "70 drops")
	assert.Contains(t, strings.Join(strings.Fields(text), " "), "Safe on what was known then")
	data, err := output("replay", "--json", path)
	require.NoError(t, err)
	var v struct {
		Overshoots []struct {
			Addition int
			Cause    string
			Safe     struct{ Drops float64 }
		}
	}
	require.NoError(t, json.Unmarshal([]byte(data), &v))
	require.Len(t, v.Overshoots, 1)
	assert.Equal(t, 1, v.Overshoots[0].Addition)
	assert.Equal(t, "dose", v.Overshoots[0].Cause)
	assert.Less(t, v.Overshoots[0].Safe.Drops, 50.0)
}

func TestReplayRefusals(t *testing.T) {
	path := onRecord(t)
	for _, c := range []struct {
		args []string
		code int
	}{
		{[]string{"replay"}, manners.ExitUsage},
		{[]string{"replay", "--summary", "--json", path}, manners.ExitUsage},
		{[]string{"replay", "--molar", "-1", path}, manners.ExitUsage},
		{[]string{"replay", path + ".not"}, manners.ExitFailed},
		{[]string{"report", "--csv", "--json", path}, manners.ExitUsage},
		{[]string{"titrate", "--resume", "--plan", "x", path}, manners.ExitUsage},
		{[]string{"titrate", path}, manners.ExitUsage},
		{[]string{"titrate", "--resume", path}, manners.ExitUsage}, // the line protocol names no port
		{[]string{"advise", "--resume"}, manners.ExitUsage},
	} {
		_, err := output(c.args...)
		require.Error(t, err, "%v", c.args)
		assert.Equal(t, c.code, manners.Tell(io.Discard, err), "%v: %v", c.args, err)
	}
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	data[len(data)/2] ^= 4
	require.NoError(t, os.WriteFile(path, data, 0o600))
	for _, command := range []string{"replay", "report"} {
		_, err := output(command, path)
		assert.Equal(t, manners.ExitDamaged, manners.Tell(io.Discard, err), command)
	}
}

func TestReplayReadsTheLogOfOthers(t *testing.T) {
	path := filepath.Join(t.TempDir(), "log.csv")
	require.NoError(t, os.WriteFile(path, []byte("mL;pH\n0,0;3,10\n1,0;4,10\n2,0;4,50\n3,0;4,80\n4,0;5,15\n4,8;6,10\n5,2;9,90\n6,0;11,05\n7,0;11,40\n"), 0o600))
	text, err := output("replay", path, "--sample-ml", "50", "--molar", "0.1")
	require.NoError(t, err)
	assert.Contains(t, text, "equivalence at")
	assert.Contains(t, text, "    line  mL      pH\n          volume  pH\n       2  0,0     3,10\n", "how it was read")
	_, err = output("replay", path, "--ph", "acidity")
	assert.ErrorContains(t, err, "acidity")
}

// What only a person can say of a log is a question with its own status, and the
// flag that it names answers it.
func TestReplayAsksAboutTheLogOfOthers(t *testing.T) {
	path := filepath.Join(t.TempDir(), "log.csv")
	text := "mL,pH left,pH right\n"
	for i, ph := range []float64{3.1, 4.1, 4.5, 4.8, 5.15, 6.1, 9.9, 11.05, 11.4} {
		text += fmt.Sprintf("%d,%.2f,%.2f\n", i, ph, ph+0.1)
	}
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	_, err := output("replay", path)
	assert.Equal(t, manners.ExitUsage, manners.Tell(io.Discard, err))
	assert.ErrorContains(t, err, "several columns may be the pH: pH left, pH right")
	out, err := output("replay", path, "--ph", "pH left")
	require.NoError(t, err)
	assert.Contains(t, out, "pH left")
	_, err = output("replay", path, "--ph", "pH left", "--volume-is", "spoons")
	assert.Equal(t, manners.ExitUsage, manners.Tell(io.Discard, err))
	_, err = output("replay", path, "--ph", "pH left", "--run", "2")
	assert.ErrorContains(t, err, "there is no run 2: the table has one")
}

// The reading after making up is an event of its own after the end of a run, and
// the journal stays sound.
func TestLabelRecordsTheReadingAfterMakingUp(t *testing.T) {
	path := onRecord(t)
	before, err := output("label", path)
	require.NoError(t, err)
	assert.NotContains(t, before, "read after making up, at")
	out, err := output("label", path, "--read", "7.2", "--temp", "21", "--by", "AB")
	require.NoError(t, err)
	assert.Contains(t, out, "pH 7.20, read after making up, at 21.0 °C")
	out, err = output("check", path)
	require.NoError(t, err)
	assert.Contains(t, out, "sound")
	assert.Contains(t, out, ", ended,")
	out, err = output("label", path)
	require.NoError(t, err)
	assert.Contains(t, out, "pH 7.20, read after making up", "it stays")
	for _, c := range [][]string{{"--read", "70"}, {"--temp", "20"}, {"--read", "7", "--temp", "900"}} {
		_, err = output(append([]string{"label", path}, c...)...)
		assert.Equal(t, manners.ExitUsage, manners.Tell(io.Discard, err), "%v", c)
	}
}

func TestReportKinds(t *testing.T) {
	path := onRecord(t)
	page := filepath.Join(t.TempDir(), "page.html")
	_, err := output("report", path, "-o", page)
	require.NoError(t, err)
	html, err := os.ReadFile(page)
	require.NoError(t, err)
	assert.Contains(t, string(html), "</html>")
	for flag, want := range map[string]string{"--csv": "seq,at,t_s,titrant", "--readings": "at,t_s,ph", "--svg": "<svg", "--json": `"additions"`} {
		text, err := output("report", path, flag)
		require.NoError(t, err)
		assert.Contains(t, text, want, flag)
	}
}

// TestReportCSVHasWhatThePageHas: what was expected of an addition and what it brought stand
// in the table as well, as numbers.
func TestReportCSVHasWhatThePageHas(t *testing.T) {
	path := onRecord(t)
	text, err := output("report", path, "--csv")
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	r, err := replay.Open(path)
	require.NoError(t, err)
	steps := r.Review().Steps
	require.NotEmpty(t, steps)
	require.Len(t, rows, len(steps)+1)
	column := func(row []string, name string) string {
		i := slices.Index(rows[0], name)
		require.GreaterOrEqual(t, i, 0, name)
		return row[i]
	}
	for i, s := range steps {
		row := rows[i+1]
		require.False(t, s.Undone)
		assert.Equal(t, fmt.Sprintf("%.3f", s.Before.PH), column(row, "ph_before"))
		assert.Equal(t, fmt.Sprintf("%.3f", s.After.PH), column(row, "ph_after"))
		ph, low, _, ordered := s.Expected()
		assert.Equal(t, fmt.Sprintf("%.2f", ph), column(row, "ph_expected"))
		if ordered {
			assert.Equal(t, fmt.Sprintf("%.2f", low), column(row, "ph_low"))
		} else {
			assert.Empty(t, column(row, "ph_low"))
		}
		assert.Equal(t, replay.AdviceText(s.Advised), column(row, "advised"))
		assert.NotEqual(t, "NaN", column(row, "charge_per_label"))
	}
}

// A journal removed under the running program is said on the screen within a
// second or two of the process's own time, and readings go on.
func TestRemovedJournalIsSaid(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	c := program(t, "titrate", "--sim", "--seed", "3", "--plain", "--journal", path)
	in, err := c.StdinPipe()
	require.NoError(t, err)
	defer in.Close()
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	defer func() { c.Process.Kill(); c.Wait() }()
	lines := make(chan string, 64)
	go func() {
		for s := bufio.NewScanner(out); s.Scan(); {
			lines <- s.Text()
		}
		close(lines)
	}()
	for text := range lines { // until only readings come, which need not be synced at once
		if strings.Contains(text, "settle") {
			break
		}
	}
	require.NoError(t, os.Remove(path))
	began := time.Now()
	late := time.After(15 * time.Second) // a loaded machine
	for {
		select {
		case text, ok := <-lines:
			require.True(t, ok, "the program goes on")
			if strings.Contains(text, journal.ErrRemoved.Error()) {
				t.Logf("said after %v", time.Since(began).Round(10*time.Millisecond))
				return
			}
		case <-late:
			t.Fatal("not said")
		}
	}
}

// A run taken up again in another process goes on in the same file.
func TestTitrateGoesOn(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	for i, args := range [][]string{
		{"titrate", "--sim", "--seed", "3", "--speed", "50", "--plain", "--journal", path},
		{"titrate", "--resume", "--speed", "50", "--plain", path},
	} {
		c := program(t, args...)
		in, err := c.StdinPipe()
		require.NoError(t, err)
		out, err := c.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, c.Start())
		require.True(t, bufio.NewScanner(out).Scan()) // it runs
		go io.Copy(io.Discard, out)
		io.WriteString(in, "3\n")
		require.Eventually(t, func() bool { return additions(path) == i+1 }, 20*time.Second, 20*time.Millisecond)
		require.NoError(t, c.Process.Kill())
		c.Wait()
		in.Close()
	}
	report, err := journal.CheckFile(path)
	require.NoError(t, err)
	assert.Empty(t, report.Faults)
	text, err := output("replay", path)
	require.NoError(t, err)
	assert.Contains(t, text, " s without readings")
	assert.Contains(t, text, "was not closed")
}

func additions(path string) int {
	n := 0
	_, _ = journal.ScanFile(path, func(e journal.Event) error {
		if e.Kind == journal.Added {
			n++
		}
		return nil
	})
	return n
}
