package past

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/fit"
	"example.org/halfdrop/meter/foreign"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/report"
	"example.org/halfdrop/tui/playback"
)

// A journal is known by its beginning, also behind the mark that some editors put there;
// what is empty is taken for one, so that it is called a journal without events.
func TestLooksLikeJournal(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x")
	for text, want := range map[string]bool{"{\"seq\":1": true, "\xef\xbb\xbf{": true, "\n  {": true, "": true, "mL,pH\n": false, "# {": false} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		got, err := looksLikeJournal(path)
		require.NoError(t, err)
		assert.Equal(t, want, got, "%q", text)
	}
}

// Without a terminal all is printed at once, and lines are stepped through where that was
// asked for.
func TestStepping(t *testing.T) {
	at := Terminal{In: strings.NewReader(""), Out: &bytes.Buffer{}}
	assert.Equal(t, inOne, (&Asked{}).stepping(at))
	assert.Equal(t, inLines, (&Asked{Plain: true}).stepping(at))
	assert.Equal(t, inOne, (&Asked{Plain: true, JSON: true}).stepping(at), "a default of lines does not change what a program gets")
}

// What is wrong with a journal is said; lines that were left out are a status.
func TestFlawed(t *testing.T) {
	var talk bytes.Buffer
	require.NoError(t, flawed("a.jsonl", "", false, &talk))
	assert.Empty(t, talk.String())
	require.NoError(t, flawed("a.jsonl", "its last line is torn", false, &talk))
	assert.Equal(t, "halfdrop: a.jsonl: its last line is torn\n", talk.String())
	var e *remedy.Error
	require.ErrorAs(t, flawed("a.jsonl", "damaged at line 3", true, &talk), &e)
	assert.Equal(t, remedy.Damaged, e.Kind)
}

func TestRefusals(t *testing.T) {
	said := func(string) bool { return true }
	for says, p := range map[string]Asked{
		"--summary, --json and --plain": {Summary: true, JSON: true}, "--volume-is \"x\"": {Volume: "x"}, "--plan and --of": {Plan: "a", Of: "b"},
		"--titrant belongs to --of": {Titrant: "NaOH"}, "are above zero": {DropUL: 50, MolarSD: math.NaN()},
		"--sample-ml, --molar": {DropUL: 50, MolarSD: 1, Fit: fit.Options{SampleML: math.NaN()}}, "--molar-sd and": {DropUL: 50, MolarSD: 1, Fit: fit.Options{Molar: math.Inf(1)}},
		"--aim 15 is not a pH": {DropUL: 50, MolarSD: 1, Aim: 15, Tolerance: 0.1}, "--tolerance -1 is not": {DropUL: 50, MolarSD: 1, Aim: 5, Tolerance: -1},
	} {
		p.Said = said
		assert.ErrorContains(t, p.Replay(t.Context(), Terminal{}, "x"), says)
	}
	assert.ErrorContains(t, (&Report{CSV: true, SVG: true}).Make(Terminal{}, "x"), "exclude each other")
	for _, ph := range []float64{15.5, 74, -1, math.NaN()} { // a label is made for a buffer: what is put on record stays
		_, err := (&Label{PH: ph}).record("x")
		assert.ErrorContains(t, err, "cannot be the pH of a solution")
	}
	_, err := (&Label{PH: 7.4, TempC: 101}).record("x")
	assert.ErrorContains(t, err, "cannot be the temperature")
}

// A question about a log is answered by keys on the screen and by words in lines; in lines
// the arrows of the screen were named, and the pH where mV was asked for.
func TestAQuestionHasItsAnswers(t *testing.T) {
	page, err := logPage("a.csv", &foreign.Log{}, &foreign.Question{Flag: "--mv", What: "several columns may be the mV", Choices: []string{"a", "b"}}, nil)
	require.NoError(t, err)
	assert.Equal(t, "several columns may be the mV: a, b.", page.Question)
	assert.Contains(t, page.ByKeys, "← →")
	assert.Equal(t, "Type mv and the number of the column, such as mv 2.", page.ByWords)
	page, err = logPage("a.csv", &foreign.Log{}, &foreign.Question{Flag: "--volume-is", What: "which", Choices: []string{"total", "left"}}, nil)
	require.NoError(t, err)
	assert.Equal(t, "Type volume is total, or volume is left.", page.ByWords)
}

// What cannot be read at all is named with its file and what to try, also where a log would
// have been stepped through; a choice that does not do is answered in few words.
func TestALogThatCannotBeReadIsNamed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notes.txt")
	require.NoError(t, os.WriteFile(path, []byte("hello\nworld\n"), 0o600))
	pages := (&Asked{Columns: map[string]*string{}}).pages(path)
	_, err := pages(playback.LogChoice{})
	require.ErrorContains(t, err, "notes.txt: no table of numbers was found")
	var e *remedy.Error
	require.ErrorAs(t, err, &e)
	assert.NotEmpty(t, e.Hints)
	_, err = pages(playback.LogChoice{Run: 2})
	require.ErrorContains(t, err, "no table of numbers was found")
	assert.NotContains(t, err.Error(), "notes.txt")
}

// What is typed about the finished solution is a pH and perhaps a temperature, and nothing
// beside them is passed over.
func TestTheReadingOfALabelIsTyped(t *testing.T) {
	for typed, want := range map[string][2]float64{"7,41\n": {7.41, math.NaN()}, "7.41 21,5\n": {7.41, 21.5}, "\n": {math.NaN(), math.NaN()}} {
		l := Label{PH: math.NaN(), TempC: math.NaN()}
		var talk bytes.Buffer
		require.NoError(t, l.ask(strings.NewReader(typed), &talk, &report.Record{FinalML: 500}))
		assert.Equal(t, fmt.Sprint(want), fmt.Sprint([2]float64{l.PH, l.TempC}), typed)
		for _, line := range strings.Split(talk.String(), "\n") {
			assert.Less(t, utf8.RuneCountInString(line), 80, "it is not broken by the terminal")
		}
	}
	var talk bytes.Buffer
	l := Label{PH: math.NaN(), TempC: math.NaN()}
	rec := report.Record{FinalML: 500}
	rec.Unweighed = true
	require.NoError(t, l.ask(strings.NewReader("7.41\n"), &talk, &rec))
	assert.NotContains(t, talk.String(), "made up", "there is no mark")
	for _, typed := range []string{"abc\n", "7.41 21.5 x\n"} {
		l := Label{PH: math.NaN(), TempC: math.NaN()}
		require.ErrorContains(t, l.ask(strings.NewReader(typed), &bytes.Buffer{}, &report.Record{FinalML: 500}), "nothing is recorded")
	}
}

// A journal that is not there is not the end of the matter: the runs are listed somewhere.
func TestAMissingJournalSaysWhereRunsAre(t *testing.T) {
	_, err := Open(filepath.Join(t.TempDir(), "none.jsonl"))
	var e *remedy.Error
	require.ErrorAs(t, err, &e)
	assert.Contains(t, strings.Join(e.Hints, " "), "lists the runs")
}

// A logger of somebody's own may write JSON: it is no journal, and who was told so was sent
// back to the command that had said it.
func TestOtherJSONIsNoJournal(t *testing.T) {
	for text, want := range map[string]bool{
		`{"seq":1,"at":"2026-11-28T02:28:10Z","t":0,"kind":"start","start":{"plan":{"target":{"ph":7.5}}}}` + "\n": true,
		`{"seq":9,"t":3,"kind":"reading","reading":{"ph":7.5},"sum":"00"}` + "\n":                                  true,
		"": true, `{"t":1,"ph":4.41}` + "\n": false, "\ufeff{\"pH_1\": 4.41, \"ml\": 0}\r\n{": false, "mL,pH\n": false,
	} {
		path := filepath.Join(t.TempDir(), "a.jsonl")
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		got, err := looksLikeJournal(path)
		require.NoError(t, err)
		assert.Equal(t, want, got, text)
	}
}
