package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/sim"
	"github.com/stretchr/testify/require"
)

// filterSession talks to the filter as another program does: line by line.
type filterSession struct {
	t   *testing.T
	in  *io.PipeWriter
	out *bufio.Scanner
	end chan error
}

func startFilter(t *testing.T, plan recipe.Plan, journalPath string) *filterSession {
	t.Helper()
	path := filepath.Join(t.TempDir(), "plan.toml")
	require.NoError(t, os.WriteFile(path, encodePlan(t, plan), 0o600))
	a, done, err := newAdviser(path, journalPath)
	require.NoError(t, err)
	inR, inW := io.Pipe()
	outR, outW := io.Pipe()
	f := &filterSession{t: t, in: inW, out: bufio.NewScanner(outR), end: make(chan error, 1)}
	go func() {
		err := a.filter(inR, outW)
		outW.Close()
		done()
		f.end <- err
	}()
	return f
}

// say sends one line and returns the one answer to it.
func (f *filterSession) say(line string) reply {
	f.t.Helper()
	_, err := io.WriteString(f.in, line+"\n")
	require.NoError(f.t, err)
	require.True(f.t, f.out.Scan(), "one line out for the line in: %s", line)
	var r reply
	require.NoError(f.t, json.Unmarshal(f.out.Bytes(), &r), f.out.Text())
	return r
}

func (f *filterSession) close() {
	f.t.Helper()
	f.in.Close()
	require.False(f.t, f.out.Scan(), "nothing after the last answer")
	require.NoError(f.t, <-f.end)
}

// driven is what came of one bench driven through the line protocol.
type driven struct {
	in, over bool
	adds     int
	seconds  float64
	last     reply
	checks   []string
}

// driveFilter is a person who does as the coach says, on a simulated bench.
func driveFilter(t *testing.T, plan recipe.Plan, setup *recipe.Setup, truth sim.Truth, story bool) driven {
	t.Helper()
	b, err := sim.New(setup, truth)
	require.NoError(t, err)
	f := startFilter(t, plan, "")
	defer f.close()
	var d driven
	up := 0.0
	for s := 1.0; s < 1800 && d.adds < 60; s++ {
		b.Advance(s)
		r := b.Sample()
		a := f.say(fmt.Sprintf(`{"t":%g,"ph":%.*f,"temp_c":%.1f}`, s, r.Decimals, r.Value, r.TempC))
		require.Empty(t, a.Error)
		d.seconds, d.last = s, a
		if up == 0 && a.Aim != nil {
			up = math.Copysign(1, *a.Aim-b.True())
		}
		if story {
			t.Logf("%4.0f s shown %.3f true %.3f aim %.3f %s %s %g %s", s, r.Value, b.True(), *a.Aim, a.Do, a.Titrant, a.Drops, a.Why)
		}
		switch a.Do {
		case "stop":
			d.in = math.Abs(b.MadeUp()-setup.Target) <= setup.Tolerance+0.005
			return d
		case "check":
			d.checks = append(d.checks, a.Why)
			if len(d.checks) > 3 {
				return d
			}
			f.say(fmt.Sprintf(`{"t":%g,"confirm":true}`, s))
		case "add":
			require.NoError(t, b.Dispense(a.Titrant, a.Drops, 0))
			require.Empty(t, f.say(fmt.Sprintf(`{"t":%g,"added":{"titrant":%q,"drops":%g}}`, s, a.Titrant, a.Drops)).Error)
			d.adds++
			if up*(b.True()-*a.Aim) > setup.Tolerance+0.005 {
				d.over = true
			}
		}
	}
	return d
}
