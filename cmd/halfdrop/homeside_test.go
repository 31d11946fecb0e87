package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
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

// TestHomeLeadsToReadingsByHand: from the first menu to a display that is read off, that
// of a meter without a line, of the simulated bench, and in standards.
func TestHomeLeadsToReadingsByHand(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Chdir(t.TempDir())
	for _, tc := range []struct{ task, source, then, want string }{
		{"Titrate", "the simulated bench, read off by hand", "the built-in plan", "titrate --sim --by-hand"},
		{"Find a strength or an amount", "the simulated bench, read off by hand", "the built-in plan", "titrate --find --sim --by-hand"},
		{"Titrate", "a display: type what it shows", "no plan file here: make one", "plan"},
		{"Calibrate the electrode", "a display: type what it shows", "7.00  4.01", "calibrate --typed --standards 7.00,4.01"},
	} {
		q, args := tasks(t.TempDir(), nil), []string(nil)
		for _, text := range []string{tc.task, tc.source, tc.then} {
			at := slices.IndexFunc(q.choices, func(c choice) bool { return c.row.Text == text })
			require.GreaterOrEqual(t, at, 0, "%q is not offered in %q", text, q.title)
			c := q.choices[at]
			if args = append(args, c.args...); c.instead {
				args = c.args
			}
			if c.ask != nil {
				q = c.ask(args)
			}
		}
		assert.Equal(t, tc.want, strings.Join(args, " "))
		cmd, rest, err := newRootCommand().Find(args)
		require.NoError(t, err)
		require.NoError(t, cmd.ParseFlags(rest), "the command line is one")
	}
}
