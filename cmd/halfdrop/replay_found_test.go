package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/foreign"
	"example.org/halfdrop/meter/planfile"
)

// lookedAt is what halfdrop replay says of a log.
func lookedAt(t *testing.T, args ...string) (string, error) {
	t.Helper()
	cmd := newReplayCommand()
	var out bytes.Buffer
	cmd.SetArgs(args)
	cmd.SetOut(&out)
	cmd.SetErr(&out)
	cmd.SilenceUsage, cmd.SilenceErrors = true, true
	err := cmd.Execute()
	return out.String(), err
}

func told(t *testing.T, args ...string) (list []foreign.LogReview) {
	t.Helper()
	out, err := lookedAt(t, append([]string{"--json"}, args...)...)
	require.NoError(t, err, out)
	var many struct{ Runs []foreign.LogReview }
	require.NoError(t, json.Unmarshal([]byte(out), &many))
	if len(many.Runs) > 0 {
		return many.Runs
	}
	var one foreign.LogReview
	require.NoError(t, json.Unmarshal([]byte(out), &one))
	return []foreign.LogReview{one}
}

const bicarbonateLog = "../../testdata/recordings/bicarbonate-gran/Lab4_Sample1_Time0.txt"

// An open recording: 50 mL of bicarbonate water with 0.1 N acid; the program that made
// it says 0.59 mL, by Gran's method (its header).
func TestALogIsDetermined(t *testing.T) {
	v := told(t, "--of", "sodium bicarbonate", bicarbonateLog)
	require.Len(t, v, 1)
	f := v[0].Found
	require.NotNil(t, f)
	require.Len(t, f.Points, 1)
	t.Logf("%.3f ± %.3f mL, %.4f ± %.4f mmol", f.Points[0].Value, f.Points[0].SD, 1e3*f.Value, 1e3*f.SD)
	assert.InDelta(t, 0.59, f.Points[0].Value, 2*f.Points[0].SD)
	assert.Less(t, f.Points[0].SD, 0.03, "and says something")
	assert.InDelta(t, 0.59*0.1/50, f.Molar, 2*f.MolarSD)

	out, err := lookedAt(t, "--of", "sodium bicarbonate", bicarbonateLog)
	require.NoError(t, err)
	for _, want := range []string{"as a run would estimate it", "Gran, before it    0.590 mL", "of sodium hydrogen carbonate"} {
		assert.Contains(t, out, want)
	}
	// With the strength known to 5 % the amount is known no better.
	wide := told(t, "--of", "sodium bicarbonate", "--molar-sd", "5", bicarbonateLog)[0].Found
	assert.InDelta(t, f.Value, wide.Value, 1e-9)
	assert.InDelta(t, math.Hypot(0.05, math.Sqrt(math.Pow(f.SD/f.Value, 2)-0.005*0.005)), wide.SD/wide.Value, 1e-6)
}

// The estimate of a log is that of the run that made it: a journal written out as a table
// and read with its plan says the same.
func TestALogSaysWhatItsRunSays(t *testing.T) {
	plan, err := planfile.Decode("find.toml", planfile.FindDemo)
	require.NoError(t, err)
	folder := t.TempDir()
	s, _ := sought(t, plan, 2, filepath.Join(folder, "run.jsonl"))
	want := s.AtLast().Found
	require.NotNil(t, want)
	table := "mL,pH\n"
	for _, step := range s.FoundSteps() {
		table += number2(step.ML) + "," + number2(step.PH) + "\n"
	}
	log, file := filepath.Join(folder, "log.csv"), filepath.Join(folder, "plan.toml")
	require.NoError(t, os.WriteFile(log, []byte(table), 0o600))
	require.NoError(t, os.WriteFile(file, planfile.FindDemo, 0o600))
	got := told(t, "--plan", file, log)[0].Found
	t.Logf("run %.5f ± %.5f, log %.5f ± %.5f", want.Value, want.SD, got.Value, got.SD)
	assert.Equal(t, want.Name, got.Name)
	assert.InDelta(t, want.Value, got.Value, want.SD)
	assert.InDelta(t, want.SD, got.SD, 0.4*want.SD, "of the same readings, without what the run knows of each")
}

func number2(x float64) string { b, _ := json.Marshal(math.Round(1e4*x) / 1e4); return string(b) }

func TestWhatALogCannotSay(t *testing.T) {
	folder := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(folder, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	log := write("a.csv", "mL,pH\n0,3.0\n5,4.3\n10,5.0\n11,5.4\n12,8.7\n13,11.2\n15,11.8\n")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--of", "acetic acid", log}, "--of needs to know the titrant"},
		{[]string{"--of", "acetic acid", "--plan", "x.toml", log}, "exclude each other"},
		{[]string{"--titrant", "KOH", log}, "belongs to --of"},
		{[]string{"--of", "unobtainium", "--molar", "0.1", "--sample-ml", "25", log}, "unobtainium"},
		{[]string{"--of", "acetic acid", "--titrant", "HCl", "--molar", "0.1", "--sample-ml", "25", log}, "no equivalence point"},
		{[]string{"--of", "acetic acid", "--molar", "0.1", "--sample-ml", "25", write("b.csv", "t,pH\n0,7.1\n1,7.2\n2,7.3\n")}, "no volumes"},
	} {
		_, err := lookedAt(t, append([]string{"--summary"}, c.args...)...)
		require.Error(t, err, c.args)
		assert.ErrorContains(t, err, c.want)
	}
}

// Open recordings whose licence keeps them out of the project, or that are too long:
// phosphoric acid (stated equivalence 11.03 and 22.06 mL) and three runs of ethanoic
// acid (25.0 cm³ by strengths that are stated to 5 %).
func TestOpenLogsAreDetermined(t *testing.T) {
	folder := os.Getenv("HALFDROP_LOGS")
	if folder == "" {
		t.Skip("NOT RUN: the estimates were not compared with the open logs 05 and 06, which are not part of the project; set HALFDROP_LOGS to a folder that holds them")
	}
	f := told(t, "--of", "phosphoric acid", "--sample-ml", "25", "--molar", "0.09948", filepath.Join(folder, "05-phosphoric-acid-naoh/titrPho.csv"))[0].Found
	require.Len(t, f.Points, 2)
	t.Logf("phosphoric acid: %.3f ± %.3f and %.3f ± %.3f mL, %.4f ± %.4f mmol", f.Points[0].Value, f.Points[0].SD, f.Points[1].Value, f.Points[1].SD, 1e3*f.Value, 1e3*f.SD)
	assert.InDelta(t, 22.06, f.Points[1].Value, 2*f.Points[1].SD)
	assert.InDelta(t, 25*0.04389e-3, f.Value, 2*f.SD)
	// 11.03 is computed, half of the second, and no leap of this log: see chem/find,
	// TestLogOfPhosphoricAcid. Steepest point and second difference are 10.90 and 10.91.
	assert.InDelta(t, 10.91, f.Points[0].Value, 2*f.Points[0].SD)
	for run, v := range told(t, "--of", "acetic acid", "--sample-ml", "25", "--molar", "0.1", "--molar-sd", "5", filepath.Join(folder, "06-ethanoic-naoh-seconds/0.0M.csv")) {
		require.NotNil(t, v.Found)
		t.Logf("ethanoic acid, run %d: %.2f ± %.2f mL, %.3f ± %.3f mmol", run+1, v.Found.Points[0].Value, v.Found.Points[0].SD, 1e3*v.Found.Value, 1e3*v.Found.SD)
		assert.InDelta(t, 25.0, v.Found.Points[0].Value, 2*math.Hypot(v.Found.Points[0].SD, 0.05*25))
		assert.InDelta(t, 2.5e-3, v.Found.Value, 2*v.Found.SD)
	}
}
