package lesson

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen/task"
)

// hints are what is to be tried against an error of a kind.
func hints(t *testing.T, err error, kind remedy.Kind) []string {
	t.Helper()
	var e *remedy.Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, kind, e.Kind, err)
	return e.Hints
}

// Settings that cannot be are refused by the name of their flag; the speed may go from a tenth
// to a hundred times, as that of an exercise may.
func TestSettingsThatCannotBe(t *testing.T) {
	for said, l := range map[string]Lesson{
		"--coach": {Coach: "loud"}, "--speed 0.09": {Speed: 0.09}, "--speed 101": {Speed: 101}, "--operator": {Seed: "own"},
		"--seed 0": {Seed: "0"}, "--seed mine": {Seed: "mine"}, "--seed -3": {Seed: "-3"},
	} {
		err := l.Usage()
		require.Error(t, err, said)
		assert.Contains(t, err.Error(), said)
		hints(t, err, remedy.Usage)
	}
	for _, l := range []Lesson{{}, {Coach: "ask", Speed: 0.1, Seed: "7"}, {Speed: 100, Seed: "own", Operator: "bench 4"}} {
		assert.NoError(t, l.Usage())
	}
}

// What the command line says counts before what the exercise says.
func TestSittings(t *testing.T) {
	e := &practice.Exercise{Coach: practice.Full, Seed: 11}
	assert.Equal(t, sitting{e, practice.Full, 1, 11}, (&Lesson{}).sitting(e), "a speed that is not said is that of the clock")
	e.Speed = 4
	assert.Equal(t, sitting{e, practice.Full, 4, 11}, (&Lesson{}).sitting(e))
	assert.Equal(t, sitting{e, practice.Off, 2, 5}, (&Lesson{Coach: "off", Speed: 2, Seed: "5"}).sitting(e))
	assert.Equal(t, practice.OwnSeed("bench 4"), (&Lesson{Seed: "own", Operator: "bench 4"}).sitting(e).seed)
}

// An exercise is found by name, number, former name or file; a slip of the pen is answered
// with what may have been meant.
func TestWhichExercise(t *testing.T) {
	for _, args := range [][]string{{"first-buffer"}, {"1"}} {
		e, err := Wanted("", args)
		require.NoError(t, err)
		assert.Equal(t, "first-buffer", e.Name)
	}
	e, err := Wanted("", nil)
	assert.NoError(t, err)
	assert.Nil(t, e)
	_, err = Wanted("a.toml", []string{"1"})
	assert.Contains(t, hints(t, err, remedy.Usage)[0], "leave one out")
	_, err = Wanted("", []string{"frist-buffer"})
	assert.Contains(t, hints(t, err, remedy.Usage)[0], "did you mean halfdrop practice first-buffer? ")
	assert.Contains(t, hints(t, ShowExercise(&bytes.Buffer{}, "cold-rom"), remedy.Usage)[0], "did you mean halfdrop practice --show cold-room? ")
	assert.Empty(t, Meant("halfdrop practice", "xyzzy"))
}

// The file of an exercise that is shown can be read again, as a start for one's own; each
// fault of a file is named at its line, with what would help.
func TestFilesOfExercises(t *testing.T) {
	var text, said bytes.Buffer
	require.NoError(t, ShowExercise(&text, "first-buffer"))
	path := filepath.Join(t.TempDir(), "mine.toml")
	require.NoError(t, os.WriteFile(path, text.Bytes(), 0o600))
	require.NoError(t, CheckFile(&said, path))
	assert.Equal(t, path+": exercise \"First buffer\" is ready to use: step 1, coach full, seed 11, 0 faults\n", said.String())

	bad := strings.NewReplacer("seed = 11", "seed = 0", "level = 1", "level = 9").Replace(text.String())
	require.NoError(t, os.WriteFile(path, []byte(bad), 0o600))
	_, err := ReadExercise(path)
	list := hints(t, err, remedy.Usage)
	assert.Len(t, list, 2)
	assert.Contains(t, strings.Join(list, "\n"), "line 5: 1 is the easiest")
	_, err = ReadExercise(filepath.Join(t.TempDir(), "none.toml"))
	assert.Contains(t, hints(t, err, remedy.Failed)[0], "--show first-buffer")
}

// The list names what is next, and the best that was done; the same for a program.
func TestTheListOfExercises(t *testing.T) {
	l := Lesson{Folder: t.TempDir()}
	require.NoError(t, class.Note(l.Folder, score.Result{Exercise: "first-buffer", Points: 91}))
	var out bytes.Buffer
	require.NoError(t, l.ListExercises(&out))
	assert.Contains(t, out.String(), "Step 1: which way\n   1  first-buffer           full  large steps far from the aim, small ones near it  (best 91)\n")
	all, err := practice.Exercises()
	require.NoError(t, err)
	next, why := class.Stands(l.Folder).Next(all)
	assert.Contains(t, out.String(), "Next for you: ")
	assert.Contains(t, out.String(), ", "+next.Name+" ("+why+")\n")

	out.Reset()
	require.NoError(t, l.ListJSON(&out))
	var rows []struct {
		Name string
		Best *float64
		Next bool
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &rows))
	require.Len(t, rows, len(all))
	for _, r := range rows {
		assert.Equal(t, r.Name == next.Name, r.Next, r.Name)
		assert.Equal(t, r.Name == "first-buffer", r.Best != nil, r.Name)
	}
	for _, e := range all {
		require.NoError(t, class.Note(l.Folder, score.Result{Exercise: e.Name, Points: 100}))
	}
	out.Reset()
	require.NoError(t, l.ListExercises(&out))
	assert.Contains(t, out.String(), "All steps are done.\n")
}

// Each fault is listed with its sign and its cure, and whether readings can show it.
func TestTheListOfFaults(t *testing.T) {
	var lines, object bytes.Buffer
	require.NoError(t, ListFaults(&lines))
	require.NoError(t, FaultsJSON(&object))
	var rows []map[string]any
	require.NoError(t, json.Unmarshal(object.Bytes(), &rows))
	require.NotEmpty(t, rows)
	for _, r := range rows {
		text, _, _ := strings.Cut(lines.String()[strings.Index(lines.String(), r["name"].(string)+" "):], "\n")
		assert.Contains(t, text, r["title"])
		assert.Equal(t, r["person"] == true, strings.Contains(text, "habit of the person"), text)
		assert.Equal(t, r["person"] == false && r["seen"] == false, strings.Contains(text, "cannot show it"), text)
		assert.Contains(t, lines.String(), "sign: "+r["sign"].(string)+"\n")
		assert.Contains(t, lines.String(), "cure: "+r["cure"].(string)+"\n")
	}
}

// The story of an exercise says what stands on the bench and what is wanted, for a pH, for a
// beaker of unknown contents, and for an amount.
func TestStories(t *testing.T) {
	for name, want := range map[string]string{
		"first-buffer":    "In the beaker: 5 mmol MOPS in 200 mL of water, the mark at 250 mL, 22 °C.\nWanted: pH 7.20 ± 0.03 in use, at 22 °C.\nBottles with droppers: NaOH 1 M, NaOH 0.1 M, HCl 0.1 M.",
		"nameless-beaker": "In the beaker: contents unknown in ",
		"vinegar":         "To find: amount of ",
	} {
		e, err := practice.Find(name)
		require.NoError(t, err)
		tk := (&Lesson{}).sitting(e).task()
		assert.Contains(t, strings.Join(tk.Bench, "\n"), want, name)
		assert.True(t, strings.HasPrefix(tk.Goal, "What to do: "), tk.Goal)
		assert.Contains(t, keys(tk.Keys), "c coach")
	}
	e, err := practice.Find("nameless-beaker")
	require.NoError(t, err)
	assert.Contains(t, strings.Join((&Lesson{}).sitting(e).task().Bench, "\n"), " in the beaker as it is.")
	e, err = practice.Find("vinegar")
	require.NoError(t, err)
	assert.Contains(t, strings.Join((&Lesson{}).sitting(e).task().Bench, "\n"), "In the beaker: about ", "what is looked for is not given away")
}

func keys(list []keyrow.Key) string {
	var out []string
	for _, k := range list {
		out = append(out, k.Name+" "+k.Short)
	}
	return strings.Join(out, ", ")
}

// The debrief on the screen has all of the result.
func TestDebriefs(t *testing.T) {
	r := score.Result{Title: "First buffer", Seed: 11, Coach: practice.Off, Seconds: 90, Points: 40, Story: []string{"it was"}, Learn: "that", Moment: score.Moment{T: 30, Words: "then"},
		Items: []score.Item{{Name: "waited", Got: 3, Of: 10, Why: "hasty"}}, Skills: map[practice.Skill]score.Share{practice.Waiting: {Got: 3, Of: 10}},
		Compare: []score.Comparison{{T: 30, Did: "6 drops", Coach: "3 drops", Verdict: "2.0 × what was safe"}}}
	d := debriefOf(r)
	assert.Equal(t, "bench 11, coach off, 1:30", d.Facts)
	assert.Equal(t, []task.Mark{{Name: "waited", Got: 3, Of: 10, Why: "hasty"}}, d.Items)
	assert.Equal(t, []task.Mark{{Name: string(practice.Waiting), Got: 3, Of: 10}}, d.Skills)
	assert.Equal(t, []task.Beside{{T: 30, Did: "6 drops", Coach: "3 drops", Verdict: "2.0 × what was safe"}}, d.Compare)
	assert.Equal(t, [3]string{"then", "that", "the target was not reached"}, [3]string{d.Moment, d.Learn, d.Verdict})
}

// A person who has left is no fault; leaving for later says how it goes on.
func TestLeaving(t *testing.T) {
	l := &Lesson{Folder: t.TempDir()}
	for _, err := range []error{errPaused, errLeft} {
		again, broken := l.broken("run.jsonl", err)
		assert.False(t, again)
		assert.NoError(t, broken)
	}
	boom := errors.New("boom")
	_, broken := l.broken("run.jsonl", boom)
	assert.Equal(t, boom, broken)

	var talk bytes.Buffer
	require.NoError(t, l.after("run.jsonl", errPaused, Terminal{Talk: &talk}))
	assert.Equal(t, "halfdrop: left; it can be resumed where it stands: halfdrop practice --resume run.jsonl\n", talk.String())
	assert.Contains(t, hints(t, l.after("run.jsonl", practice.ErrEnded, Terminal{Talk: &talk}), remedy.Failed)[0], "halfdrop replay run.jsonl")
	assert.Contains(t, hints(t, l.GoOn(context.Background(), Terminal{}, false, nil), remedy.Failed)[0], "--resume FILE")
}

// Naming the last fault of an exercise that does not finish its buffer ends the run; before
// that, and where the buffer is to be finished, it goes on.
func TestWhenNamingEndsTheRun(t *testing.T) {
	name := func(exercise string, rows ...int) (over []bool) {
		e, err := practice.Find(exercise)
		require.NoError(t, err)
		s, err := (&Lesson{}).sitting(e).stand()
		require.NoError(t, err)
		p := s.practice()
		for _, row := range rows {
			_, o := p.Name(row, tui.Evidence{At: 1, Way: -1})
			over = append(over, o)
		}
		return over
	}
	e, err := practice.Find("tidal-samples")
	require.NoError(t, err)
	require.False(t, e.Finishes())
	s, err := (&Lesson{}).sitting(e).stand()
	require.NoError(t, err)
	right := -1
	for row := range s.practice().Faults {
		if in, _ := s.practice().Name(row, tui.Evidence{At: 1, Way: -1}); strings.HasPrefix(in.Text, "right, ") {
			right = row
		}
	}
	require.GreaterOrEqual(t, right, 0)
	wrong := (right + 1) % len(s.practice().Faults)
	assert.Equal(t, []bool{false, true}, name("tidal-samples", wrong, right))
}
