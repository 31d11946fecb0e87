package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
)

// shortRun writes a journal of four events, 93 s long.
func shortRun(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "run.jsonl")
	at := time.Date(2026, 11, 25, 14, 0, 0, 0, time.UTC)
	w, err := journal.Create(path, journal.Event{At: at, Kind: journal.Started,
		Start: &journal.Start{Program: "halfdrop test", Plan: json.RawMessage(`{}`)}})
	require.NoError(t, err)
	for i, e := range []journal.Event{
		{T: 30, Kind: journal.Added, Added: &journal.Addition{Titrant: "NaOH 1 M", Drops: 6, ML: 0.3}},
		{T: 40, Kind: journal.Undone, Undo: &journal.Undo{Seq: 2}},
		{T: 93, Kind: journal.Ended, End: &journal.End{Outcome: "in tolerance"}},
	} {
		e.At = at.Add(time.Duration(i) * time.Second)
		require.NoError(t, w.Append(&e))
	}
	require.NoError(t, w.Close())
	return path
}

// runCheck is what `halfdrop check` prints, its exit status and its hints.
func runCheck(t *testing.T, files ...string) (out string, status int, told string) {
	t.Helper()
	cmd := newCheckCommand()
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	var stdout, stderr bytes.Buffer
	cmd.SetOut(&stdout)
	cmd.SetArgs(append([]string{}, files...)) // nil would mean those of the test
	status = manners.Tell(&stderr, cmd.Execute())
	return stdout.String(), status, stderr.String()
}

func spoil(t *testing.T, path string, with func([]byte) []byte) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	data = with(data)
	require.NoError(t, os.WriteFile(path, data, 0o644))
	return data
}

func TestCheckSound(t *testing.T) {
	path := shortRun(t)
	out, status, told := runCheck(t, path)
	assert.Equal(t, manners.ExitOK, status)
	assert.Empty(t, told)
	assert.Regexp(t, `run\.jsonl: sound: 4 events, 1 addition \(1 withdrawn\), 1 min 33 s, ended, last sum [0-9a-f]{32}\n$`, out)
}

func TestCheckDamaged(t *testing.T) {
	for name, tc := range map[string]struct {
		with      func([]byte) []byte
		out, told string
	}{
		"changed": {func(d []byte) []byte { return bytes.Replace(d, []byte(`"drops":6`), []byte(`"drops":9`), 1) },
			`line 2, byte \d+: the sum does not match.*\n.*damaged: 1 fault in 4 lines`, `hint: .*the first \d+ bytes are sound`},
		"torn": {func(d []byte) []byte { return d[:len(d)-9] },
			`line 4, byte \d+: the line is not ended.*\n.*damaged: 1 fault in 4 lines`, `hint: .*the 3 events before byte \d+ are sound`},
		"two faults": {func(d []byte) []byte {
			return append(bytes.Replace(d, []byte(`"drops":6`), []byte(`"drops":9`), 1), "x\n"...)
		}, `line 2, .*\n.*line 5, .*\n.*damaged: 2 faults in 5 lines`, `damaged`},
		"no journal": {func([]byte) []byte { return []byte("t_s,ph\n1,\x1b[2J7\n") },
			`: none of its 2 lines is that of a journal`, `is it a halfdrop journal`},
		"empty": {func([]byte) []byte { return nil }, `line 1, byte 0: the file is empty`, `is it a halfdrop journal`},
	} {
		t.Run(name, func(t *testing.T) {
			path := shortRun(t)
			data := spoil(t, path, tc.with)
			out, status, told := runCheck(t, path)
			assert.Equal(t, manners.ExitDamaged, status)
			assert.Regexp(t, tc.out, out)
			assert.NotContains(t, out, "\x1b", "a damaged file cannot talk to the terminal")
			assert.Regexp(t, tc.told, told)
			after, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, string(data), string(after))
			beside, err := os.ReadDir(filepath.Dir(path))
			require.NoError(t, err)
			assert.Len(t, beside, 1, "nothing is written beside it")
		})
	}
}

func TestCheckSeveralFiles(t *testing.T) {
	good, bad := shortRun(t), shortRun(t)
	spoil(t, bad, func(d []byte) []byte { return d[1:] })
	none := filepath.Join(t.TempDir(), "none.jsonl")
	out, status, told := runCheck(t, none, bad, good)
	assert.Equal(t, manners.ExitDamaged, status)
	assert.Contains(t, out, good+": sound")
	assert.Contains(t, told, "1 of 3 journals are damaged")
	assert.Contains(t, told, none)

	_, status, told = runCheck(t, good, none)
	assert.Equal(t, manners.ExitFailed, status, "a file that is not there is no damaged one")
	assert.Contains(t, told, none)
	_, status, _ = runCheck(t)
	assert.Equal(t, manners.ExitUsage, status)
	assert.True(t, errors.Is(checkAll(&bytes.Buffer{}, []string{none}, false), fs.ErrNotExist))
}

// Another file altogether is one sentence, not a fault a line.
func TestCheckOfAnotherFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "plan.toml")
	require.NoError(t, os.WriteFile(path, bytes.Repeat([]byte("molar = 1\n"), 40), 0o600))
	var out bytes.Buffer
	require.Error(t, checkAll(&out, []string{path}, false))
	assert.Equal(t, path+": none of its 40 lines is that of a journal\n", out.String())
}

func TestLasting(t *testing.T) {
	for seconds, want := range map[float64]string{0: "0 s", 59.4: "59 s", 59.6: "1 min 0 s", 751: "12 min 31 s", 28_800: "8 h 0 min"} {
		assert.Equal(t, want, phrase.Lasting(seconds))
	}
}
