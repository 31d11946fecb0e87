package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/shelf"

	"github.com/stretchr/testify/require"
)

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
	if err := os.WriteFile(path, planfile.Demo, 0o600); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1<<14 {
			return // long lines have a test of their own
		}
		text = strings.TrimRight(text, "\n") + "\n"
		a, done, err := newAdviser(path, "", shelf.Memory{Sim: true}, io.Discard)
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
