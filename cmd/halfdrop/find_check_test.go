package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/tui/amount"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// checked is what halfdrop find check says.
func checked(t *testing.T, args ...string) (string, error) {
	t.Helper()
	cmd := newFindCheck()
	var out bytes.Buffer
	cmd.SetArgs(args)
	cmd.SetOut(&out)
	cmd.SetErr(&out)
	cmd.SilenceUsage, cmd.SilenceErrors = true, true
	err := cmd.Execute()
	return out.String(), err
}

// The plan of a blank is checked like any other, and what its run has found is subtracted
// where the determination is checked.
func TestABlankIsChecked(t *testing.T) {
	plan, err := planfile.Decode("find.toml", planfile.FindDemo)
	require.NoError(t, err)
	folder := t.TempDir()
	write := func(name string, text []byte) string {
		path := filepath.Join(folder, name)
		require.NoError(t, os.WriteFile(path, text, 0o600))
		return path
	}
	main := write("naoh.toml", planfile.FindDemo)
	blank, err := amount.BlankOf(plan)
	require.NoError(t, err)
	var text bytes.Buffer
	require.NoError(t, planfile.Write(&text, blank, nil))
	out, err := checked(t, main)
	require.NoError(t, err)
	assert.NotContains(t, out, "how pure")
	out, err = checked(t, write("pure.toml", bytes.ReplaceAll(planfile.FindDemo, []byte("purity_sd_pct"), []byte("# "))))
	require.NoError(t, err)
	assert.Contains(t, out, "does not say how pure the standard is: it is taken as 100 %, ± 0.05 %")
	out, err = checked(t, write("blank.toml", text.Bytes()))
	require.NoError(t, err)
	t.Log(out)
	assert.Contains(t, out, "the blank: what water and reagents take up")
	assert.Contains(t, out, "can be known to  0.0096 mL, where it is 0.1 mL")
	assert.NotContains(t, out, "%", "a blank is in mL")

	// A burette that nobody can read does not let a blank be known, and that is said.
	coarse := 0.2
	blank.Find.ReadML = &coarse
	text.Reset()
	require.NoError(t, planfile.Write(&text, blank, nil))
	out, err = checked(t, write("coarse.toml", text.Bytes()))
	require.NoError(t, err)
	assert.Contains(t, out, "note: on this bench it cannot be known better than", out)

	path := filepath.Join(folder, "blank.jsonl")
	blank.Find.ReadML = nil
	s, _ := sought(t, blank, 3, path)
	f := s.AtLast().Found
	require.NotNil(t, f)
	out, err = checked(t, "--blank", path, main)
	require.NoError(t, err)
	t.Log(out)
	assert.InDelta(t, 0.0096, f.SD*1e3, 0.003, "as was foretold")
	assert.Contains(t, out, f.Short()+" is subtracted")
	assert.Contains(t, out, "of it blank")
	_, err = checked(t, "--blank", main, main)
	require.Error(t, err)
	_, err = checked(t, "--blank", path, filepath.Join(folder, "blank.toml"))
	require.ErrorContains(t, err, "that of a blank itself")
}

// heldUp are the seconds and the pH of a simulated electrode on its way into vinegar whose
// first readings came at once, as from a line that had been held up. It comes to a
// standstill; it was once believed to go back by 0.4 pH in the end.
const heldUp = `
	1.537 6.99, 1.625 6.73, 1.626 6.5, 1.627 6.27, 2.065 6.05, 2.511 5.88, 3.049 5.68, 3.558 5.51, 4.052 5.35,
	4.532 5.19, 5.038 5.06, 5.535 4.92, 6.032 4.8, 6.533 4.68, 7.042 4.58, 7.541 4.47, 8.034 4.38, 8.542 4.29,
	9.037 4.21, 9.537 4.12, 10.034 4.05, 10.51 3.99, 11.065 3.92, 11.57 3.86, 12.067 3.81, 12.505 3.76,
	13.068 3.7, 13.571 3.65, 14.066 3.61, 14.569 3.57, 15.066 3.53, 15.568 3.5, 16.063 3.47, 16.574 3.43,
	17.014 3.4, 17.52 3.38, 18.011 3.35, 18.516 3.33, 19.006 3.31, 19.52 3.28, 20.141 3.26, 20.724 3.24,
	21.043 3.22, 21.546 3.21, 22.043 3.2, 22.543 3.18, 23.045 3.16, 23.541 3.15, 24.041 3.14, 24.536 3.14,
	25.04 3.12, 25.538 3.11, 26.033 3.1, 26.535 3.1, 27.029 3.09, 27.529 3.08, 28.03 3.06, 28.527 3.07,
	29.028 3.06, 29.524 3.06, 30.026 3.05, 30.521 3.05, 31.021 3.04, 31.532 3.03, 32.026 3.02, 32.532 3.03,
	33.043 3.02, 33.547 3.02, 34.04 3.01, 34.548 3.02, 35.054 3.01, 35.55 3.01, 36.058 3, 36.556 3, 37.064 3,
	37.566 2.99, 38.06 3, 38.564 2.99, 39.06 2.99, 39.564 2.99, 40.058 2.98, 40.504 2.98, 41.005 2.98,
	41.565 2.99, 42.01 2.99, 42.561 2.98, 43.061 2.97, 43.559 2.97, 44.057 2.98, 44.562 2.98, 45.056 2.98,
	45.559 2.98, 46.054 2.98, 46.566 2.97, 47.071 2.98, 47.568 2.97, 48.07 2.97, 48.561 2.98, 49.065 2.97,
	49.568 2.97, 50.079 2.97, 50.532 2.98, 51.065 2.97, 51.57 2.97, 52.067 2.96, 52.524 2.97, 53.019 2.96,
	53.521 2.97, 54.012 2.96, 54.519 2.96, 55.01 2.96, 55.523 2.97, 56.045 2.96, 56.552 2.96, 57.058 2.96,
	57.554 2.97, 58.058 2.96, 58.555 2.97, 59.013 2.96, 59.567 2.96, 60.012 2.96, 60.562 2.95, 61.064 2.96`

// Readings that came at once are no way of the electrode: its end is where it stands still.
func TestReadingsThatCameAtOnceDoNotLeadAstray(t *testing.T) {
	plan, err := planfile.Decode("vinegar.toml", []byte("name = \"x\"\n[find]\nwhat = \"amount\"\n[beaker]\nstart_ml = 50\nfinal_ml = 150\n[[weighed]]\nreagent = \"acetic acid\"\nmmol = 2\n[[titrant]]\nname = \"NaOH\"\nreagent = \"NaOH\"\nmolar = 0.1\nby = \"burette\"\n"))
	require.NoError(t, err)
	first, err := keep.Begin(plan, time.Date(2026, 11, 26, 9, 0, 0, 0, time.UTC), keep.Origin{Program: madeBy(), Source: "test"})
	require.NoError(t, err)
	k, err := keep.NewKeeper(first, &keep.Discard{}, func(float64) time.Time { return time.Time{} })
	require.NoError(t, err)
	now, last := 0.0, 0.0
	for _, pair := range strings.Split(heldUp, ",") {
		f := strings.Fields(pair)
		require.Len(t, f, 2)
		now, err = strconv.ParseFloat(f[0], 64)
		require.NoError(t, err)
		last, err = strconv.ParseFloat(f[1], 64)
		require.NoError(t, err)
		ph := last
		require.NoError(t, k.Take(journal.Event{T: now, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2}}))
		k.Look(now)
	}
	e := k.State.Settling(now)
	assert.InDelta(t, last, e.End, 0.15)
	assert.InDelta(t, last, e.End, 2*e.SD)
}
