package live

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/recorded"
)

// What contradicts itself is said before anything is opened.
func TestCheck(t *testing.T) {
	for says, a := range map[string]Asked{
		"--sim and --port exclude each other":        {Sim: true, Port: "x", Speed: 1},
		"a meter that is not connected":              {ByHand: true, Port: "x", Speed: 1},
		"brings its own calibration":                 {Sim: true, Calibrations: "x", Speed: 1},
		"no source of readings":                      {Speed: 1},
		"no plan":                                    {Port: "x", Speed: 1},
		"--speed 0 is outside":                       {Sim: true},
		"--speed is for the simulator":               {Port: "x", Plan: "p", Speed: 2},
		"--operator":                                 {Sim: true, Speed: 1, Operator: "\x1b[2J"},
		"needs to know what is in its beaker":        {Sim: true, Speed: 1, Bare: Bare{PH: 7}},
		"--plan and --ph, --ml, --titrant exclude":   {Port: "x", Plan: "p", Speed: 1, Bare: Bare{PH: 7}},
		"--titrant is missing":                       {Port: "x", Speed: 1, Bare: Bare{PH: 7, ML: 100}},
		"--ml is missing: how much is in the beaker": {Port: "x", Speed: 1, Bare: Bare{PH: 7}},
	} {
		err := a.Check()
		var e *remedy.Error
		require.ErrorAs(t, err, &e, says)
		assert.Equal(t, remedy.Usage, e.Kind)
		assert.ErrorContains(t, err, says)
	}
	assert.NoError(t, (&Asked{Sim: true, Speed: 20}).Check())
	assert.NoError(t, (&Asked{Port: "x", Plan: "p", Speed: 1}).Check())
}

// Of several runs that were left, none is chosen.
func TestWhichRun(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_DATA_HOME", home)
	t.Setenv("HOME", home)
	t.Setenv("LocalAppData", home)
	named, err := whichRun([]string{"a.jsonl"})
	require.NoError(t, err)
	assert.Equal(t, "a.jsonl", named)
	_, err = whichRun(nil)
	assert.ErrorContains(t, err, "no unfinished run")
	plan, err := planfile.Decode("demo", planfile.Demo)
	require.NoError(t, err)
	var paths []string
	for i := range 2 {
		at := time.Date(2026, 11, 26, 9, i, 0, 0, time.UTC)
		first, err := keep.Begin(plan, at, keep.Origin{Program: "test", Source: "x"})
		require.NoError(t, err)
		w, err := (&Asked{}).record(at, plan.Name, &first)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		paths = append(paths, w.Path())
		got, err := whichRun(nil)
		if i == 0 {
			require.NoError(t, err)
			assert.Equal(t, w.Path(), got)
			continue
		}
		var e *remedy.Error
		require.ErrorAs(t, err, &e)
		assert.Equal(t, remedy.Usage, e.Kind)
		assert.Len(t, e.Hints, 2)
		assert.Contains(t, e.Hints[0]+e.Hints[1], filepath.Base(paths[0]))
	}
}

// A run that is going on at another window is not one that was left.
func TestWhichRunIsNotGoingOn(t *testing.T) {
	home := t.TempDir()
	t.Setenv("XDG_DATA_HOME", home)
	t.Setenv("HOME", home)
	t.Setenv("LocalAppData", home)
	plan, err := planfile.Decode("demo", planfile.Demo)
	require.NoError(t, err)
	var left string
	for i := range 2 {
		at := time.Date(2026, 11, 26, 9, i, 0, 0, time.UTC)
		first, err := keep.Begin(plan, at, keep.Origin{Program: "test", Source: "x"})
		require.NoError(t, err)
		w, err := (&Asked{}).record(at, plan.Name, &first)
		require.NoError(t, err)
		defer w.Close()
		if i == 0 {
			require.NoError(t, w.Close())
			left = w.Path()
		}
	}
	got, err := whichRun(nil)
	require.NoError(t, err)
	assert.Equal(t, left, got)
	require.NoError(t, os.Remove(left))
	_, err = whichRun(nil)
	assert.ErrorContains(t, err, "no unfinished run")
}

// The clock of a real bench may be another one, and the run goes by it.
func TestClock(t *testing.T) {
	at := time.Date(2026, 11, 26, 9, 0, 0, 0, time.UTC)
	a := &Asked{ByHand: true, Clock: func() time.Time { return at }}
	p, err := a.Recipe()
	require.NoError(t, err)
	b, err := a.bench(p, at)
	require.NoError(t, err)
	assert.Equal(t, recorded.ByHand, b.name)
	assert.Zero(t, b.now())
	at = at.Add(90 * time.Second)
	assert.InDelta(t, 90, b.now(), 1e-9)
	assert.Equal(t, at, b.wall(90))
}
