package main

import (
	"path/filepath"
	"sync"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Ten plans of real recipes, made on the simulated bench from the sheet to the
// label: planned, written to a file, read again, weighed and titrated with
// ordinary care under the coach, and made up. The bench knows no more than the
// file and what ordinary care leaves open.
func TestPlansFromSheetToLabel(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: ten plans were not made on the simulated bench from sheet to label, which takes seconds each")
	}
	list, err := trial.ParseStrategies("coach")
	require.NoError(t, err)
	var benches []*trial.Bench
	for i, args := range [][]string{
		{"--ph", "7.4", "--buffer", "HEPES", "--mM", "20", "--with", "NaCl 150 mM; MgCl2 5 mM; EDTA 1 mM; glycerol 10 %", "--temp", "4"},
		{"--ph", "8.0", "--buffer", "Tris", "--mM", "1000", "--ml", "1000"},
		{"--ph", "7.4", "--buffer", "phosphate", "--mM", "10", "--with", "NaCl 137 mM; KCl 2.7 mM", "--strength", "10x", "--ml", "1000"},
		{"--ph", "8.0", "--buffer", "imidazole", "--mM", "500", "--with", "NaCl 300 mM; Na2HPO4 50 mM", "--anyway"},
		{"--ph", "6.8", "--buffer", "PIPES", "--mM", "80", "--with", "MgCl2 1 mM; EGTA 1 mM", "--base", "KOH"},
		{"--ph", "7.2", "--buffer", "HEPES", "--mM", "10", "--with", "KCl 140 mM; EGTA 5 mM; MgCl2 1 mM; ATP 2 mM", "--base", "KOH", "--temp", "22", "--bench-temp", "22"},
		{"--ph", "7.4", "--buffer", "phosphate", "--mM", "1000", "--ml", "1000"},
		{"--ph", "7.5", "--buffer", "imidazole", "--mM", "500"},
		{"--ph", "5.0", "--buffer", "acetate", "--mM", "100", "--with", "NaCl 500 mM; CaCl2 5 mM", "--ml", "2000"},
		{"--ph", "10.0", "--buffer", "CAPS", "--mM", "10", "--with", "methanol 10 %", "--bench-temp", "20"},
	} {
		path := filepath.Join(t.TempDir(), "plan.toml")
		_, _, err := runCommand(newPlanCommand(), append(args, "--out", path)...)
		require.NoError(t, err, "%v", args)
		p, err := planfile.Load(path)
		require.NoError(t, err)
		for j := range p.Titrants { // the hands of trial know drops only
			if t := &p.Titrants[j]; t.By == recipe.Pipette {
				t.By, t.StepML, t.MLSDPct = recipe.Dropper, nil, nil
			}
		}
		setup, err := recipe.Compile(p)
		require.NoError(t, err)
		b := &trial.Bench{Seed: uint64(i), Plan: p, Setup: setup, Truth: sim.DefaultTruth(setup, uint64(i)), System: p.Name}
		bench, err := setup.Bench(setup.BenchTemp)
		require.NoError(t, err)
		f := bench.Forecast()
		b.Up = f.Aim > f.Start
		benches = append(benches, b)
	}
	outs, errs := make([]trial.Outcome, len(benches)), make([]error, len(benches))
	var wg sync.WaitGroup
	for i, b := range benches {
		wg.Go(func() { outs[i], errs[i] = list[0].Play(b, nil) })
	}
	wg.Wait()
	in, past := 0, 0
	for i, out := range outs {
		p := benches[i].Plan
		require.NoError(t, errs[i])
		assert.True(t, out.Stopped, "%s: %s", p.Name, out.Stuck)
		if out.In {
			in++
		}
		if out.Over {
			past++
		}
		t.Logf("%-76.76s %2d additions, %4.0f s, label pH %.2f of %.2f, in %v, past %v", p.Name, out.Additions, out.Seconds, out.Final, out.Target, out.In, out.Over)
	}
	assert.GreaterOrEqual(t, in, 9, "within the tolerance at the label")
	assert.LessOrEqual(t, past, 1)
}

// The form of plan opens when nothing is asked for yet; how it is to look is
// no such thing.
func TestPlanAsks(t *testing.T) {
	for line, want := range map[string]bool{"": false, "--ascii": false, "--bell": false, "--list": true, "--ph": true} {
		root := newRootCommand()
		plan, _, err := root.Find([]string{"plan"})
		require.NoError(t, err)
		var args []string
		switch line {
		case "":
		case "--ph":
			args = []string{line, "7.4"}
		default:
			args = []string{line}
		}
		require.NoError(t, plan.ParseFlags(args))
		assert.Equal(t, want, asks(plan), line)
	}
}
