package protocol

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/sim"
	"github.com/stretchr/testify/assert"
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
		a, done, err := Open("halfdrop test", path, "", shelf.Memory{Sim: true}, io.Discard)
		require.NoError(t, err)
		defer done()
		var out bytes.Buffer
		require.NoError(t, a.Run(strings.NewReader(text), &out))
		answers := bytes.Split(bytes.TrimSuffix(out.Bytes(), []byte("\n")), []byte("\n"))
		require.Len(t, answers, strings.Count(text, "\n"))
		for _, line := range answers {
			require.True(t, json.Valid(line), "%q", line)
		}
	})
}

// A line over the limit is answered, also the last one, and the filter goes on.
func TestAdviseAnswersLongLines(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.toml")
	require.NoError(t, os.WriteFile(path, planfile.Demo, 0o600))
	a, done, err := Open("halfdrop test", path, "", shelf.Memory{Sim: true}, io.Discard)
	require.NoError(t, err)
	defer done()
	long := strings.Repeat("x", 3*maxLine)
	var out bytes.Buffer
	require.NoError(t, a.Run(strings.NewReader("{\"t\":0,\"ph\":5.2}\n"+long+"\n{\"t\":1,\"ph\":5.2}\n"+strings.Repeat("y", maxLine)+"\n\n"+long), &out))
	got := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, got, 6)
	for i, says := range []string{`"do"`, "a line of more than", `"do"`, "a line of more than", "an empty line", "a line of more than"} {
		assert.Contains(t, got[i], says, i)
	}
}

// TestTheFilterRemembers: a run of the line protocol that ended well teaches what its
// bottles brought, and the next one begins with it; without names nothing is touched.
func TestTheFilterRemembers(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	file := filepath.Join(t.TempDir(), "bench.toml")
	for i, c := range []struct {
		bottle string
		known  bool
		runs   int
	}{{"", false, 0}, {"B7", false, 1}, {"B7", true, 1}} {
		plan, err := planfile.Decode("demo", planfile.Demo)
		require.NoError(t, err)
		plan.Titrants[0].Bottle = c.bottle
		path := filepath.Join(t.TempDir(), "plan.toml")
		require.NoError(t, os.WriteFile(path, encoded(t, plan), 0o600))
		var talk bytes.Buffer
		a, done, err := Open("halfdrop test", path, "", shelf.Memory{Path: file}, &talk)
		require.NoError(t, err)
		require.Equal(t, c.known, strings.Contains(talk.String(), "halfdrop: known: "), talk.String())
		require.Equal(t, c.known, !a.keeper.State.Taken().Empty())
		filtered(t, a, plan)
		done()
		b, err := shelf.ReadBench(file)
		require.NoError(t, err)
		if len(b.Runs) < c.runs || c.runs == 0 && len(b.Runs) > 0 {
			t.Fatalf("%d: %d runs in the file", i, len(b.Runs))
		}
	}
}

// filtered plays a run through an adviser to its end.
func filtered(t *testing.T, a *Filter, plan recipe.Plan) {
	t.Helper()
	setup, err := recipe.Compile(plan)
	require.NoError(t, err)
	b, err := sim.New(setup, sim.DefaultTruth(setup, 11))
	require.NoError(t, err)
	say := func(text string, args ...any) Reply {
		r := a.answer([]byte(fmt.Sprintf(text, args...)))
		require.Empty(t, r.Error)
		return r
	}
	for s := 1.0; s < 1500; s++ {
		b.Advance(s)
		switch r := say(`{"t":%g,"ph":%.2f}`, s, b.Read()); {
		case r.Do == "add" && r.Reason != "dosing":
			require.NoError(t, b.Dispense(r.Titrant, r.Drops, 0))
			say(`{"t":%g,"added":{"titrant":%q,"drops":%g}}`, s, r.Titrant, r.Drops)
		case r.Do == "stop":
			require.NoError(t, a.end())
			return
		}
	}
	t.Fatal("not done in 1500 s")
}

func encoded(t *testing.T, p recipe.Plan) []byte {
	t.Helper()
	b, err := toml.Marshal(p)
	require.NoError(t, err)
	return b
}
