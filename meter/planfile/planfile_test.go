package planfile

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/remedy"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPlanErrorsSayWhere(t *testing.T) {
	for name, c := range map[string]struct{ plan, want, hint string }{
		"unknown key":  {"[target]\nph = 7\ntollerance = 0.02\n", `p.toml:3:1: unknown key "target.tollerance"`, `did you mean "tolerance"`},
		"wrong type":   {"[target]\nph = \"seven\"\n", "p.toml:2:6", "TOML"},
		"not TOML":     {"ph 7\n", "p.toml:1:", "TOML"},
		"other table":  {"[taget]\nph = 7\n", `unknown key "taget"`, `did you mean "target"`},
		"with a BOM":   {"\xef\xbb\xbfname = \"x\"\n[target]\nphh = 7\n", "p.toml:3:1", `"ph"`},
		"in a titrant": {"[[titrant]]\nname = \"a\"\nreagnt = \"HCl\"\n", `p.toml:3:1: unknown key "titrant.reagnt"`, `did you mean "reagent"`},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Decode("p.toml", []byte(c.plan))
			require.ErrorContains(t, err, c.want)
			var e *remedy.Error
			require.ErrorAs(t, err, &e)
			require.Contains(t, strings.Join(e.Hints, "\n"), c.hint)
		})
	}
}

// The built-in plan with one thing changed.
func changed(old, new string) []byte {
	return []byte(strings.Replace(string(Demo), old, new, 1))
}

// What no bench has is refused with line and column, and never panics.
func TestPlanGate(t *testing.T) {
	nine := string(Demo)
	for i := range 6 {
		nine += fmt.Sprintf("\n[[titrant]]\nname = \"more %d\"\nreagent = \"NaOH\"\nmolar = 0.5\n", i)
	}
	for name, tt := range map[string]struct {
		data []byte
		says string
	}{
		"nine titrants":     {[]byte(nine), "titrant: 9 of them; the coach has room for 8"},
		"next to nothing":   {changed("start_ml = 200", "start_ml = 1e-300"), "p.toml:10:1: beaker.start_ml: 1e-300 is outside 1 to 100000 mL"},
		"a lake":            {changed("final_ml = 250", "final_ml = 1e9"), "beaker.final_ml: 1e+09 is outside"},
		"not a number":      {changed("start_ml = 200", "start_ml = nan"), "beaker.start_ml: NaN is outside"},
		"a NUL":             {changed("NaOH 1 M", `Na\u0000OH`), `titrant[1].name: character 3 is \x00, which is not text`},
		"an escape":         {changed(`name = "MOPS`, `name = "\u001b[2J`), `name: character 1 is \x1b`},
		"written backwards": {changed(`name = "MOPS`, `name = "\u202e`), `name: character 1 is \u202e`},
		"an empty name":     {changed(`name = "NaOH 1 M"`, `name = ""`), "titrant[1].name: an empty name"},
		"a blank name":      {changed(`name = "NaOH 1 M"`, `name = "  "`), "titrant[1].name: an empty name"},
		"a long name":       {changed(`name = "NaOH 1 M"`, `name = "`+strings.Repeat("x", 500)+`"`), "titrant[1].name: 500 characters; at most 120 are possible"},
		"hardly a base":     {changed("molar = 1.0", "molar = 1e-12"), "titrant[1].molar: 1e-12 is outside"},
		"a milligram":       {changed("mmol = 5.0", "mmol = 1e-9"), "weighed[1].mmol: 1e-09 is outside"},
	} {
		require.NotEqual(t, string(Demo), string(tt.data), name)
		_, err := Decode("p.toml", tt.data)
		assert.ErrorContains(t, err, tt.says, name)
		assert.Regexp(t, `p\.toml:\d+:\d+: `, err, name)
	}
	_, err := Decode("p.toml", Demo)
	assert.NoError(t, err)
}

// What the recipe finds wrong has its place as well.
func TestPlanProblemsHaveTheirPlace(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.toml")
	require.NoError(t, os.WriteFile(path, changed("final_ml = 250", "final_ml = 100"), 0o600))
	_, err := Load(path)
	assert.ErrorContains(t, err, "p.toml:11:1: beaker.final_ml: the mark at 100 mL is below")
	require.NoError(t, os.WriteFile(path, []byte("name = \"\xff\"\n"), 0o600))
	_, err = Load(path)
	assert.ErrorContains(t, err, "p.toml:1:9: a byte that is not UTF-8 text")
	require.NoError(t, os.WriteFile(path, bytes.Repeat([]byte("# long\n"), 100_000), 0o600))
	_, err = Load(path)
	assert.ErrorContains(t, err, "more than 256 KiB")
}

func TestHostileNamesSurviveThePlanFile(t *testing.T) {
	ph, ml, n := 7.4, 400.0, 12.5
	p := recipe.Plan{Name: "a \"b\" \\ c # d ]] é ·", Target: recipe.Target{PH: &ph}, Beaker: recipe.Beaker{StartML: &ml, FinalML: &ml},
		Weighed: []recipe.Weighed{{Reagent: "Na2HPO4·7H2O", MMol: &n}}, Titrants: []recipe.Titrant{{Name: "x = '1'", Reagent: "NaOH", Molar: &ph}}}
	var b strings.Builder
	require.NoError(t, Write(&b, p, []string{"head"}))
	got, err := Decode("test", []byte(b.String()))
	require.NoError(t, err)
	assert.Equal(t, p, got)
}

// FuzzPlan: a plan file is taken or refused, with its place, and never panics;
// what is taken has names that do nothing and numbers of a bench.
func FuzzPlan(f *testing.F) {
	f.Add(Demo)
	f.Add(FindDemo)
	for _, old := range [][2]string{{`"strength"`, `"pk"`}, {`"strength"`, `"amount"`}, {"spread_pct = 0.2", "carbonate_pct = nan"}, {"start_ml = 50", "start_ml = 1"}, {"grams = 0.5106", "grams = 1e-5"},
		{"spread_pct = 0.2", "guess_pct = 1e9"}, {"[[titrant]]", ""}, {"[[weighed]]", ""}, {"molar = 0.1", "molar = 25"}, {`by = "burette"`, `by = "pipette"`}} {
		f.Add([]byte(strings.Replace(string(FindDemo), old[0], old[1], 1)))
	}
	for _, old := range [][2]string{{"start_ml = 200", "start_ml = 1e-300"}, {"final_ml = 250", "final_ml = nan"}, {"NaOH 1 M", `a\u0000b`}, {"molar = 1.0", "molar = inf"},
		{"NaOH 1 M", `\u001b[2J`}, {"mmol = 5.0", "grams = 1e300"}, {"[[titrant]]", "[[titrant]]\n[[titrant]]\n[[titrant]]\n[[titrant]]\n[[titrant]]\n[[titrant]]\n[[titrant]]"}} {
		f.Add(changed(old[0], old[1]))
	}
	f.Add([]byte("\xef\xbb\xbfname = 1"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Decode("p.toml", data)
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

// What waits for the pH says so in the file, and is read back.
func TestLateStandsInTheFile(t *testing.T) {
	p, err := Decode("p.toml", Demo)
	require.NoError(t, err)
	mmol := 2.0
	p.Weighed = append(p.Weighed, recipe.Weighed{Reagent: "sodium azide", MMol: &mmol, Late: true})
	var b bytes.Buffer
	require.NoError(t, Write(&b, p, nil))
	assert.Regexp(t, `late = true +# it goes in once the pH is set, and not before`, b.String())
	again, err := Decode("p.toml", b.Bytes())
	require.NoError(t, err)
	assert.Equal(t, p, again)
}
