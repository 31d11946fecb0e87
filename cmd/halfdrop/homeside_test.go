package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run"
)

// TestHomeShowsTheLastRun: what stands beside the tasks is what the journal says.
func TestHomeShowsTheLastRun(t *testing.T) {
	data := t.TempDir()
	t.Setenv("XDG_DATA_HOME", data)
	t.Setenv("HOME", data)
	side := atHome(nil)
	assert.Contains(t, side.Facts, [2]string{"run", "none yet"})
	assert.Contains(t, side.Facts, [2]string{"bench", "nothing remembered yet"})
	_, talk, _ := called(t, "q\ny\n", "titrate", "--sim", "--seed", "7", "--plain", "--operator", "Ada")
	list, err := run.List(filepath.Join(data, "halfdrop", "runs"))
	require.NoError(t, err, talk)
	require.Len(t, list, 1)
	side = atHome(list)
	assert.Equal(t, "Last run", side.Title)
	assert.Contains(t, side.Facts, [2]string{"readings", "simulated bench, seed 7"})
	assert.Contains(t, side.Facts, [2]string{"operator", "Ada"})
	assert.Contains(t, side.Facts, [2]string{"additions", "0"})
	require.NoError(t, os.WriteFile(list[0].Path, []byte("{}\n"), 0o600))
	assert.Equal(t, "journal", aboutRun(list[0]).Facts[5][0], "a journal that cannot be read is said to be so")
}
