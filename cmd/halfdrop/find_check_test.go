package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"example.org/halfdrop/meter/planfile"
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
