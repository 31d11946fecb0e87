package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/tui/past"
)

// practised runs halfdrop practice with typed lines and gives what it says.
func practised(t *testing.T, typed string, args ...string) (out string, err error) {
	t.Helper()
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	cmd := newRootCommand()
	var b bytes.Buffer
	cmd.SetArgs(append([]string{"practice"}, args...))
	cmd.SetIn(strings.NewReader(typed))
	cmd.SetOut(&b)
	cmd.SetErr(&b)
	err = cmd.Execute()
	return b.String(), err
}

func TestPracticeList(t *testing.T) {
	out, err := practised(t, "")
	require.NoError(t, err)
	assert.Equal(t, 7, strings.Count(out, "Step "))
	assert.Contains(t, out, "Next for you: 1, first-buffer")
	out, err = practised(t, "", "--faults")
	require.NoError(t, err)
	for _, k := range sim.Faults() {
		assert.Contains(t, out, k.Name)
	}
	out, err = practised(t, "", "--teacher")
	require.NoError(t, err)
	assert.Contains(t, out, "--results FOLDER")
}

// A teacher's way: print one, change it, check it, and be told what is wrong.
func TestPracticeFileOfOnesOwn(t *testing.T) {
	text, err := practised(t, "", "--show", "cold-room")
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "mine.toml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	out, err := practised(t, "", "--check", path)
	require.NoError(t, err)
	assert.Contains(t, out, "is ready to use")
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(text, "level = 3", "level = 33", 1)), 0o600))
	for _, flag := range []string{"--check", "--exercise"} {
		_, err = practised(t, "", flag, path)
		require.Error(t, err)
		var said bytes.Buffer
		assert.Equal(t, manners.ExitUsage, manners.Tell(&said, err), "as of any invalid file")
		assert.Contains(t, said.String(), "mine.toml:5:1: level: must be 1 to 7, not 33")
		assert.Contains(t, said.String(), "hint: line 5: 1 is the easiest")
	}
}

// One exercise in lines of text, from the story to the debrief, and the table
// of its folder.
func TestPracticeInLines(t *testing.T) {
	folder := t.TempDir()
	out, err := practised(t, "40 NaOH 1 M\n", "no-coach", "--plain", "--speed", "50", "--folder", folder, "--operator", "bench 4")
	require.NoError(t, err)
	assert.Contains(t, out, "YOU decide")
	assert.Contains(t, out, "of 100 points")
	assert.Contains(t, out, "What would have saved it")
	out, err = practised(t, "", "--results", folder, "--html", filepath.Join(folder, "class.html"))
	require.NoError(t, err)
	assert.Contains(t, out, "bench 4")
	page, err := os.ReadFile(filepath.Join(folder, "class.html"))
	require.NoError(t, err)
	assert.Contains(t, string(page), "No coach at all")

	out, err = practised(t, "", "--results", folder, "--csv")
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(out, "file,operator,exercise,"), out)
	out, err = practised(t, "", "--results", folder, "--pupil", "BENCH 4")
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(out, "bench 4: 1 run\n"), out)
	_, err = practised(t, "", "--results", folder, "--pupil", "bench 7")
	assert.ErrorContains(t, err, `no pupil in the folder is called "bench 7"`)
	out, err = practised(t, "", "--results", folder, "--pupil", "bench 4", "--json")
	require.NoError(t, err)
	var told struct {
		Runs []struct{ Pupil, Exercise, Coach string }
	}
	require.NoError(t, json.Unmarshal([]byte(out), &told))
	require.Len(t, told.Runs, 1)
	assert.Equal(t, [3]string{"bench 4", "no-coach", "off"}, [3]string{told.Runs[0].Pupil, told.Runs[0].Exercise, told.Runs[0].Coach})

	files, err := filepath.Glob(filepath.Join(folder, "*.jsonl"))
	require.NoError(t, err)
	require.Len(t, files, 1)
	r, err := past.Open(files[0])
	require.NoError(t, err)
	res, err := score.Judge(r)
	require.NoError(t, err)
	assert.Equal(t, practice.Off, res.Coach)
	text, err := os.ReadFile(files[0])
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(files[0], bytes.Replace(text, []byte("bench 4"), []byte("bench 5"), 1), 0o600))
	out, err = practised(t, "", "--results", folder)
	assert.ErrorContains(t, err, "something is wrong with 1 of 1 journals")
	assert.Contains(t, out, "changed after it was written")

	left := t.TempDir() // and of one that was left nothing is wrong with the journal
	lines := bytes.SplitAfter(text, []byte("\n"))
	require.NoError(t, os.WriteFile(filepath.Join(left, "left.jsonl"), bytes.Join(lines[:len(lines)-2], nil), 0o600))
	out, err = practised(t, "", "--results", left)
	require.NoError(t, err)
	assert.Contains(t, out, "the run was not ended")
}

func TestPracticeWronglyCalled(t *testing.T) {
	for _, args := range [][]string{
		{"nothing-of-that-name"}, {"1", "--coach", "loud"}, {"1", "--speed", "1000"}, {"1", "--seed", "own"}, {"1", "--seed", "zero"},
		{"1", "--exercise", "x.toml"}, {"--html", "x.html"},
	} {
		_, err := practised(t, "", args...)
		require.Error(t, err, args)
		assert.Equal(t, manners.ExitUsage, manners.Tell(&bytes.Buffer{}, err), args)
	}
	_, err := practised(t, "", "--results", t.TempDir())
	assert.ErrorContains(t, err, "no practice run")
}
