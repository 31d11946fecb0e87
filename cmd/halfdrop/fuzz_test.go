package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
)

// FuzzPlan: a plan file is taken or refused, with its place, and never panics;
// what is taken has names that do nothing and numbers of a bench.
func FuzzPlan(f *testing.F) {
	f.Add(demoPlan)
	f.Add(findPlan)
	for _, old := range [][2]string{{`"strength"`, `"pk"`}, {`"strength"`, `"amount"`}, {"spread_pct = 0.2", "carbonate_pct = nan"}, {"start_ml = 50", "start_ml = 1"}, {"grams = 0.5106", "grams = 1e-5"},
		{"spread_pct = 0.2", "guess_pct = 1e9"}, {"[[titrant]]", ""}, {"[[weighed]]", ""}, {"molar = 0.1", "molar = 25"}, {`by = "burette"`, `by = "pipette"`}} {
		f.Add([]byte(strings.Replace(string(findPlan), old[0], old[1], 1)))
	}
	for _, old := range [][2]string{{"start_ml = 200", "start_ml = 1e-300"}, {"final_ml = 250", "final_ml = nan"}, {"NaOH 1 M", `a\u0000b`}, {"molar = 1.0", "molar = inf"},
		{"NaOH 1 M", `\u001b[2J`}, {"mmol = 5.0", "grams = 1e300"}, {"[[titrant]]", "[[titrant]]\n[[titrant]]\n[[titrant]]\n[[titrant]]\n[[titrant]]\n[[titrant]]\n[[titrant]]"}} {
		f.Add(changed(old[0], old[1]))
	}
	f.Add([]byte("\xef\xbb\xbfname = 1"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := decodePlan("p.toml", data)
		if err != nil {
			for line := range strings.SplitSeq(err.Error(), "\n") {
				require.Contains(t, line, "p.toml", "%q", line)
			}
			return
		}
		require.NoError(t, intake.Plan(p))
		if _, err := recipe.Compile(p); err != nil {
			require.NotEmpty(t, err.Error())
		}
	})
}

// FuzzAdvise: every line that is not the last gets exactly one answer, whatever
// it is, and each answer is one JSON object.
func FuzzAdvise(f *testing.F) {
	for _, s := range []string{
		`{"t":0,"ph":5.2}`, `{"t":1,"mv":100}` + "\n" + `{"t":0}`, `{"t":1e999}`, `{"t":1,"added":{"titrant":"NaOH 1 M","drops":1e308}}`, `{"t":1,"undo":true}`, "\n\n", "{", "\x00\xff",
		`{"t":1,"confirm":true}`, `{"t":1,"ph":"7"}`, `[[[[`, `{"t":1,"ph":7.02,"temp_c":-300}`, `{"t":2,"added":{"titrant":"\u001b","ml":1}}`, `{"t":-1,"ph":7}`, `{"t":1,"ph":1e400}`,
	} {
		f.Add(s)
	}
	path := filepath.Join(f.TempDir(), "p.toml")
	if err := os.WriteFile(path, demoPlan, 0o600); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1<<14 {
			return // long lines have a test of their own
		}
		text = strings.TrimRight(text, "\n") + "\n"
		a, done, err := newAdviser(path, "", memory{sim: true}, io.Discard)
		require.NoError(t, err)
		defer done()
		var out bytes.Buffer
		require.NoError(t, a.filter(strings.NewReader(text), &out))
		answers := bytes.Split(bytes.TrimSuffix(out.Bytes(), []byte("\n")), []byte("\n"))
		require.Len(t, answers, strings.Count(text, "\n"))
		for _, line := range answers {
			require.True(t, json.Valid(line), "%q", line)
		}
	})
}
