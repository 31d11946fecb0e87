package practice_test

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/practice/score"
)

// stored writes a run into a folder as the program does.
func stored(t *testing.T, folder, name string, events []journal.Event) string {
	t.Helper()
	path := filepath.Join(folder, name+".jsonl")
	w, err := journal.Create(path, events[0], journal.WithClock(time.Now))
	require.NoError(t, err)
	for _, e := range events[1:] {
		require.NoError(t, w.Append(&e))
	}
	require.NoError(t, w.Close())
	return path
}

// run is an obedient run on a bench.
func ran(t *testing.T, seed uint64) []journal.Event {
	t.Helper()
	p := sit(t, "first-buffer", seed, practice.Full)
	p.obey()
	p.end()
	return p.diary.Events
}

func classOf(t *testing.T, folder string) map[string]class.Row {
	t.Helper()
	c, err := class.ReadClass(folder, nil)
	require.NoError(t, err)
	rows := map[string]class.Row{}
	for _, r := range c.Rows {
		rows[strings.TrimSuffix(r.File, ".jsonl")] = r
	}
	return rows
}

// A class in which all is well, each on a bench of their own.
func TestClass(t *testing.T) {
	folder := t.TempDir()
	stored(t, folder, "one", ran(t, 11))
	stored(t, folder, "two", ran(t, practice.OwnSeed("bench 2")))
	rows := classOf(t, folder)
	require.Len(t, rows, 2)
	for name, r := range rows {
		assert.Empty(t, r.Flags, name)
		assert.True(t, r.In, name)
		assert.Greater(t, r.Points, 80.0, name)
	}
	c, err := class.ReadClass(folder, nil)
	require.NoError(t, err)
	var text, table, page bytes.Buffer
	require.NoError(t, c.WriteText(&text))
	require.NoError(t, c.WriteCSV(&table))
	require.NoError(t, c.WriteHTML(&page))
	cells, err := csv.NewReader(&table).ReadAll()
	require.NoError(t, err)
	assert.Len(t, cells, 3)
	assert.Contains(t, cells[0], "time_limit_s")
	assert.Contains(t, text.String(), "2 runs")
	assert.Contains(t, page.String(), "First buffer")
	assert.NotContains(t, page.String(), "http", "the page needs nothing from elsewhere")
}

// Whatever is done to a journal afterwards is flagged.
func TestTamperedJournalsAreFlagged(t *testing.T) {
	folder := t.TempDir()
	good := ran(t, 11)
	path := stored(t, folder, "a-good", good)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	lines := bytes.SplitAfter(text, []byte("\n"))
	write := func(name string, lines [][]byte) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name+".jsonl"), bytes.Join(lines, nil), 0o644))
	}
	n := len(lines) / 2
	changed := append([][]byte{}, lines...)
	changed[n] = bytes.Replace(changed[n], []byte(`"ph":`), []byte(`"ph":1`), 1)
	write("changed", changed)
	write("cut", append(append([][]byte{}, lines[:n]...), lines[n+2:]...))
	write("twin", lines)
	write("open", lines[:n])

	// Somebody who computes the chain anew for readings that are not the bench's.
	forged := append([]journal.Event{}, good...)
	for i := range forged {
		if r := forged[i].Reading; r != nil && r.PH != nil {
			copied, y := *r, *r.PH+0.1
			copied.PH = &y
			forged[i].Reading = &copied
		}
	}
	stored(t, folder, "forged", forged)

	rows := classOf(t, folder)
	for _, flag := range rows["a-good"].Flags { // which of two is the copy cannot be told
		assert.Contains(t, flag, "the hands moved as in")
		assert.NotContains(t, flag, "open", "its own earlier state is no copy")
	}
	assert.Contains(t, strings.Join(rows["open"].Flags, "; "), "an earlier state of a-good.jsonl")
	c, err := class.ReadClass(folder, nil)
	require.NoError(t, err)
	require.Len(t, c.Pupils(), 1)
	assert.InDelta(t, 1, c.Pupils()[0].Standing.Skills[practice.Reading], 0.05, "one run is one run, however often it was handed in")
	assert.Equal(t, 1, c.Pupils()[0].Standing.Tries["first-buffer"])
	assert.Equal(t, rows["a-good"].Attempt, rows["twin"].Attempt, "handed in twice it is one attempt")
	for name, want := range map[string]string{
		"changed": "changed after it was written", "cut": "changed after it was written",
		"twin": "the same journal as a-good", "open": "not ended", "forged": "of the readings are those of its bench",
	} {
		assert.Contains(t, strings.Join(rows[name].Flags, "; "), want, name)
	}
}

// Journals of other runs are counted, not judged; files that are none are flagged.
func TestOtherFilesInTheFolder(t *testing.T) {
	folder := t.TempDir()
	events := ran(t, 11)
	first := *events[0].Start
	first.Practice = nil
	plain := append([]journal.Event{}, events...)
	plain[0].Start = &first
	stored(t, folder, "lab", plain)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "junk.jsonl"), []byte("no journal\n"), 0o644))
	c, err := class.ReadClass(folder, nil)
	require.NoError(t, err)
	assert.Equal(t, 1, c.Others)
	require.Len(t, c.Rows, 1)
	assert.NotEmpty(t, c.Rows[0].Flags)
	_, err = class.ReadClass(filepath.Join(folder, "nowhere"), nil)
	assert.Error(t, err)
}

// Points and skills of earlier runs are kept, also those of former versions, which
// had neither skills nor the names of today.
func TestStands(t *testing.T) {
	folder := t.TempDir()
	assert.Empty(t, class.Stands(folder).Best)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "scores.csv"), []byte("wrong-jar,70\nnonsense\n"), 0o600))
	for _, p := range []float64{40, 90, 70} {
		require.NoError(t, class.Note(folder, score.Result{Exercise: "first-buffer", Points: p,
			Skills: map[practice.Skill]score.Share{practice.Waiting: {Got: p / 5, Of: 20}}}))
	}
	s := class.Stands(folder)
	assert.Equal(t, map[string]float64{"first-buffer": 90, "tidal-samples": 70}, s.Best)
	assert.Equal(t, 3, s.Tries["first-buffer"])
	weak, share, any := s.Weakest()
	assert.True(t, any)
	assert.Equal(t, practice.Waiting, weak)
	assert.InDelta(t, 0.6*0.7+0.4*(0.6*0.9+0.4*0.4), share, 1e-9)
}

// A season begins at the first step, asks next for what the pupil can do least, goes
// on when a step is done, and ends.
func TestSeason(t *testing.T) {
	all, err := practice.Exercises()
	require.NoError(t, err)
	s := class.NewStanding()
	next, why := s.Next(all)
	assert.Equal(t, 1, next.Level)
	assert.Contains(t, why, "which way")
	done := 0
	for ; next != nil && done < 100; done++ {
		skills := map[practice.Skill]score.Share{}
		for _, k := range practice.Skills {
			if w := next.Weighs(k); w > 0 {
				skills[k] = score.Share{Got: 95 * w, Of: 100 * w}
			}
		}
		before := next.Level
		s.Take(next.Name, 95, skills)
		if next, _ = s.Next(all); next != nil && next.Level < before {
			require.Less(t, s.Best[next.Name], 80.0, "what was left out comes last")
		}
	}
	assert.Equal(t, len(all), done)

	s = class.NewStanding()
	for _, e := range all {
		if e.Level < 3 {
			s.Take(e.Name, 85, map[practice.Skill]score.Share{practice.Waiting: {Got: 2, Of: 10}, practice.Bottle: {Got: 9, Of: 10}})
		}
	}
	next, why = s.Next(all)
	assert.Equal(t, 3, next.Level)
	assert.Contains(t, why, "waiting is at 20 %")
	s.Take(next.Name, 30, nil)
	other, _ := s.Next(all)
	assert.NotEqual(t, next, other, "something else for once")
}

// A folder for each pupil is a class, too; what is no journal says so in few words, and
// the flags stand below the table, with the file they are about.
func TestFoldersOfPupils(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"kim", "lee", ".trash"} {
		require.NoError(t, os.Mkdir(filepath.Join(folder, name), 0o755))
	}
	stored(t, filepath.Join(folder, "kim"), "one", ran(t, 11))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "lee", "empty.jsonl"), nil, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, ".trash", "x.jsonl"), nil, 0o600))
	c, err := class.ReadClass(folder, nil)
	require.NoError(t, err)
	require.Len(t, c.Rows, 2)
	var text bytes.Buffer
	require.NoError(t, c.WriteText(&text))
	empty := filepath.Join("lee", "empty.jsonl")
	assert.Contains(t, text.String(), "(1) "+empty+": no journal: the file is empty")
	for line := range strings.Lines(text.String()) {
		if strings.HasPrefix(line, "bench 3") {
			assert.NotContains(t, line, "(", "no flag")
		}
	}
}
