package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
)

// TestHostile: what a stranger types is answered with what is wrong, where, and what to
// try; each of these was told raw, told wrongly or not told at all.
func TestHostile(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_DATA_HOME", filepath.Join(dir, "data")) // what is taken for a run after all is kept there
	at := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	folder := filepath.Join(dir, "folder")
	require.NoError(t, os.Mkdir(folder, 0o700))
	bad := at("bad.toml", "a=\n")
	there := at("there.jsonl", "x\n")
	const plan = "[target]\nph = 7.4\n[beaker]\nstart_ml = 200\nfinal_ml = 250\n[[weighed]]\nreagent = \"HEPES\"\nmmol = 10\n[[titrant]]\nreagent = \"NaOH\"\nmolar = 1.0\n"
	good := at("good.toml", plan)
	bare := func(more ...string) []string {
		return append([]string{"titrate", "--port", "tcp://127.0.0.1:1", "--ph", "7.4", "--ml", "250"}, more...)
	}
	naoh := []string{"--titrant", "NaOH 1 M"}
	record := at("record.jsonl", `{"seq":1,"at":"2026-11-26T19:32:46Z"}`+"\n")
	for _, c := range []struct {
		args  []string
		wants []string
		never string
	}{
		{[]string{"calibrate", "--sim", "--file", record}, []string{"record.jsonl is the journal of a run, and no calibrations are written into it"}, "pour"},
		{[]string{"ports", "--listen", "tcp://127.0.0.1:99999"}, []string{"99999 is not a port of a network; they go from 1 to 65535"}, "dial"},
		{[]string{"ports", "--listen", "tcp://127.0.0.1"}, []string{"the port is missing, as in tcp://127.0.0.1:4001"}, "may follow"},
		{[]string{"ports", "--listen", "tcp://"}, []string{"the host is missing, as in tcp://10.0.0.7:4001"}, "may follow"},
		{[]string{"ports", "--listen", "auto", "--for", "-3s"}, []string{"--for -3s: must be above zero", "--for 10s"}, ""},
		{[]string{"ports", "--listen", "auto", "--json"}, []string{"--json is for the list of ports"}, "listening"},
		{[]string{"ports", "--force"}, []string{"--force belongs to --learn"}, ""},
		{[]string{"titrate", "--sim", "--plan", bad}, []string{"bad.toml:1:3: the value is missing after ="}, "U+"},
		{[]string{"titrate", "--sim", "--plan", folder}, []string{"folder: it is a folder, not a file"}, "ordinary file: it"},
		{[]string{"titrate", "--sim", "--plain", "--journal", folder}, []string{"folder: it exists already"}, "open "},
		{[]string{"titrate", "--sim", "--plain", "--journal", there}, []string{"there.jsonl: it exists already"}, "open "},
		{[]string{"titrate", "--sim", "--plain", "--tolerance", "0.1"}, []string{"--tolerance is for a beaker without a plan", "tolerance = 0.02"}, ""},
		{[]string{"titrate", "--sim", "--plain", "--temp", "21"}, []string{"--temp is for a beaker without a plan", "temp_c"}, ""},
		{[]string{"titrate", "--sim", "--plain", "--dialect", bad}, []string{"--dialect is for a meter, and the simulated bench has its own"}, ""},
		{[]string{"titrate", "--sim", "--plain", "--mode", "9600"}, []string{"--mode is for a meter"}, ""},
		{[]string{"titrate", "--sim", "--plain", "--speak", "nosuchprog"}, []string{`no program "nosuchprog" is installed here`, "--speak espeak-ng"}, "exec"},
		{[]string{"titrate", "--port", "x", "--ph", "7.4", "--ml", "-250"}, []string{"--ml -250: it must be above zero"}, "missing"},
		{bare("--titrant", "foo 1 M"), []string{`--titrant "foo 1 M": unknown reagent "foo"`}, "titrant["},
		{bare("--titrant", "NaOH 1 M, 400000 µL"), []string{`--titrant "NaOH 1 M, 400000 µL": 400000 is outside 1–500`}, "drop_ul"},
		{bare(append(naoh, "--temp", "300")...), []string{"error: --temp: 300 °C is outside 0–60 °C\nhalfdrop: hint"}, "beaker"},
		{bare(append(naoh, "--tolerance", "0")...), []string{"--tolerance: 0 is outside"}, "target."},
		{[]string{"plan", "--ph", "7.4", "--fill", "120"}, []string{"--fill: 120 % is outside 30–95 %"}, "1.2"},
		{[]string{"plan", "--ph", "7.4", "--buffer", "hepse"}, []string{`unknown reagent "hepse": did you mean HEPES?`}, "hint: did you mean"},
		{[]string{"plan", "--ph", "7.4", "--out", filepath.Join(dir, "none", "plan.toml")}, []string{"plan.toml: there is no folder ", "exists"}, ".new-"},
		{[]string{"plan", "--check", "Tris 6.06 g", "--ml", "1000", "--out", "x.toml"}, []string{"leave out --out"}, "--out out"},
		{[]string{"report", there, "--out", filepath.Join(dir, "none", "x.html")}, []string{"there.jsonl: "}, "open "},
		{[]string{"replay", at("empty.csv", "")}, []string{"empty.csv: the file is empty", "the log of another program"}, "start event"},
		{[]string{"titrate", "--sim", "--seed", "-1"}, []string{`--seed "-1": it takes a whole number, 0 or more`}, ""},
		{[]string{"ph", "--ml", "100", "KH2PO4 500 mol"}, []string{"too concentrated: the solutes alone take 86", "of 100.0 mL"}, "e+"},
		{[]string{"calibrate", "--json"}, []string{"--json belongs to --history"}, "source"},
		{[]string{"calibrate", "--sim", "--target", "20"}, []string{"--target 20 is outside 0–14"}, "pour"},
		{[]string{"calibrate", "--sim", "--target", "7.4", "--standards", "7.00,4.01"}, []string{"--target and --standards exclude each other"}, "pour"},
		{[]string{"calibrate", "--sim", "--lot", "7.00="}, []string{"--lot 7.00=: nothing stands after ="}, "pour"},
		{[]string{"calibrate", "--sim", "--standards", "7.00,4.02"}, []string{`"4.02" is not a nominal value; the nearest is 4.01`}, "more than one"},
		{[]string{"calibrate", "--sim", "--standards", "7.00,7.00"}, []string{"standard 7.00 is named twice", "hint"}, ""},
		{[]string{"bench", "state", "B7"}, []string{"--molar is missing: the strength of the bottle"}, "impossible"},
		{[]string{"bench", "state", "B7", "--molar", "0"}, []string{"--molar 0: it must be above zero"}, "impossible"},
		{[]string{"bench", "state", "B7", "--molar", "1", "--sd", "-1"}, []string{"--sd -1: it must be above zero"}, "impossible"},
		{[]string{"replay", "-"}, []string{"standard input: "}, os.TempDir()},
		{[]string{"report", "-"}, []string{"standard input: "}, os.TempDir()},
		{[]string{"check", "-"}, []string{"standard input is damaged"}, os.TempDir()},
		{[]string{"sim", "--link", there}, []string{"there.jsonl exists and is not a link"}, "sim: "},
		{[]string{"sim", "--save-plan", there}, []string{"there.jsonl: it exists already"}, "open "},
		{[]string{"curve", "--plan", "-"}, []string{"standard input:1:1: "}, "error: -:"},
		{[]string{"titrate", "--sim", "--plan", "-"}, []string{"--plan -: the keys of a run are typed on standard input", "name that"}, "missing"},
		{[]string{"calibrate", "--sim", "--plan", "-"}, []string{"--plan -: a calibration asks its questions on standard input"}, "missing"},
		{[]string{"advise", "--plan", "-"}, []string{"--plan -: the lines of the protocol come on standard input"}, "missing"},
		{[]string{"sim", "--plan", "-"}, []string{"--plan -: what falls into the beaker is typed on standard input"}, "missing"},
		{[]string{"find", "pool", "-"}, []string{"standard input: "}, "error: -:"},
		{[]string{"titrate", "--by-hand", "--meter", "corner", "--plan", good}, []string{"--meter is for a meter that is connected", "leave --by-hand out"}, "READ"},
		{[]string{"titrate", "--sim", "--plain", "--plan", at("kind.toml", strings.Replace(plan, "mmol = 10", "mmol = \"10\"", 1))}, []string{"text in quotes stands where a number is wanted"}, "struct"},
		{[]string{"titrate", "--sim", "--plain", "--plan", at("comma.toml", strings.Replace(plan, "mmol = 10", "mmol = 10,5", 1))}, []string{"a number has a decimal point"}, "U+"},
		{[]string{"titrate", "--sim", "--plain", "--plan", at("name.toml", strings.Replace(plan, "\"HEPES\"", "\"HEPS\"", 1))}, []string{`unknown reagent "HEPS": did you mean HEPES`}, "hint: did you mean"},
		{[]string{"titrate", "--sim", "--plain", "--plan", at("much.toml", strings.Replace(plan, "mmol = 10", "mmol = -3", 1))}, []string{"-3 is outside 0.001 to 1000000 mmol"}, "e+"},
		{[]string{"titrate", "--sim", "--plain", "--plan", at("huge.toml", strings.Repeat("# much\n", 1<<16))}, []string{"error: " + filepath.Join(dir, "huge.toml") + ": too large: more than 256 KiB"}, "read "},
		{[]string{"practice", "--check", good}, []string{`unknown key "target"`, `unknown key "beaker"`, "line 1: the keys here are"}, "line 3: the keys here are"},
		{[]string{"titrate", "--resume", filepath.Join(dir, "none.jsonl")}, []string{"none.jsonl: no such file", "takes the unfinished run"}, "names every fault"},
	} {
		line := strings.Join(c.args, " ")
		out, errs, code := configured(t, "", c.args...)
		assert.NotEqual(t, manners.ExitOK, code, line)
		for _, want := range c.wants {
			assert.Contains(t, errs, want, line)
		}
		if c.never != "" {
			assert.NotContains(t, strings.ReplaceAll(out+errs, dir, ""), c.never, line)
		}
	}
}

// TestAdviceOfNoLine: a line that is no JSON is answered without the words of a library.
func TestAdviceOfNoLine(t *testing.T) {
	for in, want := range map[string]string{
		"foo": "not a line of the protocol: this is not JSON, from o on",
		"[]":  "not a line of the protocol: array where an object in {} is needed",
		"{":   "not a line of the protocol: ",
	} {
		c := program(t, "advise", "--plan", planFile(t, string(planfile.Demo)))
		c.Stdin = strings.NewReader(in + "\n")
		out, err := c.Output()
		require.NoError(t, err)
		assert.Contains(t, string(out), want, in)
		assert.NotContains(t, string(out), "protocol.request")
		assert.NotContains(t, string(out), "unexpected EOF")
	}
}

// A journal that another halfdrop has open is said to be that, and not to have faults.
func TestAnOpenJournalHasNoFaults(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.jsonl")
	first := journal.Event{Kind: journal.Started, Start: &journal.Start{Format: journal.Format, Program: "test", Plan: json.RawMessage(`{}`)}}
	w, err := journal.Create(path, first)
	require.NoError(t, err)
	defer w.Close()
	for _, args := range [][]string{{"titrate", "--resume", path, "--plain"}, {"advise", "--resume", "--journal", path}} {
		out, errs, _ := configured(t, "", args...)
		assert.Contains(t, errs, "another program is writing this journal", "%v", args)
		assert.NotContains(t, out+errs, "halfdrop check", "%v", args)
	}
}
