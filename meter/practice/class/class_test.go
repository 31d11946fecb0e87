package class

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/sim"
)

// The figures of a class are choices of this project. Whole classes, read from journals, are
// in practice/class_test.go, desk_test.go and pupils_test.go.

// Eighty points are done, and one exercise of a step may be left out; what was left out comes
// when all steps are done but for that.
func TestWhenAStepIsDone(t *testing.T) {
	all := []*practice.Exercise{{Name: "a", Number: 1, Level: 1}, {Name: "b", Number: 2, Level: 1}, {Name: "c", Number: 3, Level: 1}, {Name: "d", Number: 4, Level: 2}, {Name: "e", Number: 5, Level: 2}}
	next := func(points map[string]float64) string {
		s := NewStanding()
		s.Best = points
		if e, _ := s.Next(all); e != nil {
			return e.Name
		}
		return ""
	}
	assert.Equal(t, "a", next(nil))
	assert.Equal(t, "b", next(map[string]float64{"a": 80, "b": 79}))
	assert.Equal(t, "d", next(map[string]float64{"a": 80, "b": 81}), "c may be left out")
	assert.Equal(t, "c", next(map[string]float64{"a": 90, "b": 90, "d": 90, "e": 80}))
	assert.Empty(t, next(map[string]float64{"a": 90, "b": 90, "c": 90, "d": 90, "e": 90}))
}

// The latest result of a skill weighs six tenths against what was before; points are the best.
func TestTheLatestWeighsMost(t *testing.T) {
	s := NewStanding()
	take := func(points, got float64) {
		s.Take("a", points, map[practice.Skill]score.Share{practice.Waiting: {Got: got, Of: 10}, practice.Bottle: {}})
	}
	take(50, 10)
	assert.InDelta(t, 1, s.Skills[practice.Waiting], 1e-9)
	take(40, 0)
	assert.InDelta(t, 0.4, s.Skills[practice.Waiting], 1e-9)
	take(60, 10)
	assert.InDelta(t, 0.6+0.4*0.4, s.Skills[practice.Waiting], 1e-9)
	assert.InDelta(t, 60, s.Best["a"], 1e-9)
	assert.Equal(t, 3, s.Tries["a"])
	assert.NotContains(t, s.Skills, practice.Bottle, "of nothing no share")
	weak, share, ok := s.Weakest()
	require.True(t, ok)
	assert.Equal(t, practice.Waiting, weak)
	assert.InDelta(t, 0.76, share, 1e-9)
}

// Two rhythms are one where eight of ten times agree to a hundredth of a second and neither
// has more than a fifth more of them; of fewer than two nothing is said.
func TestRhythms(t *testing.T) {
	rhythm := func(n, off int, by float64) (p, q print) {
		for i := range n {
			x := 3 + math.Sqrt(float64(i))
			p, q = append(p, x), append(q, x)
			if i < off {
				q[i] += by
			} else {
				q[i] += 0.009
			}
		}
		return p, q
	}
	for _, c := range []struct {
		n, off int
		by     float64
		like   bool
	}{{10, 0, 0, true}, {10, 2, 1, true}, {10, 3, 1, false}, {10, 3, 0.0099, true}, {10, 3, 0.011, false}, {10, 3, -0.011, false}, {2, 0, 0, true}, {1, 0, 0, false}} {
		p, q := rhythm(c.n, c.off, c.by)
		assert.Equal(t, c.like, p.like(q), "%+v", c)
		assert.Equal(t, c.like, q.like(p), "%+v", c)
	}
	p, _ := rhythm(12, 0, 0)
	assert.True(t, p.like(p[:10]), "two of ten more")
	p, _ = rhythm(13, 0, 0)
	assert.False(t, p.like(p[:10]))
}

// What half of a class got less than half of the points for is missed, with the advice that
// most of them had; each pupil counts with the best attempt.
func TestMissed(t *testing.T) {
	row := func(who string, points, got float64, keep string) Row {
		r := Row{File: who + ".jsonl", Result: score.Result{Operator: who, Exercise: "a", Points: points, Items: []score.Item{{Key: "waiting", Name: "waited", Got: got, Of: 10, Keep: keep}}}}
		r.Begun = time.Unix(int64(points), 0)
		return r
	}
	c := Class{Rows: []Row{row("A", 90, 5, "patience"), row("B", 80, 4.9, "patience"), row("C", 70, 0, "a clock, from 1:30 on"), row("D", 60, 2, "a clock, from 2:00 on"), row("D", 10, 0, "patience")}}
	gaps := c.Missed()
	require.Len(t, gaps, 1)
	assert.Equal(t, [2]int{3, 4}, [2]int{gaps[0].Missed, gaps[0].Of})
	assert.Equal(t, "a clock", gaps[0].Keep, "when it was is of one run only")
	c.Rows[1].Items[0].Got, c.Rows[2].Items[0].Got = 5, 5
	assert.Empty(t, c.Missed(), "one of four")
	c.Rows[3].Items[0].Keep = score.KeepFinishing
	c.Rows[2].Items[0].Got, c.Rows[1].Items[0].Got = 0, 0
	require.Len(t, c.Missed(), 1)
	assert.Equal(t, 2, c.Missed()[0].Missed, "a consequence is not missed")

	alone := row("A", 10, 0, "patience")
	alone.Exercise = "b"
	require.Len(t, Class{Rows: append(slices.Clone(c.Rows), alone)}.Missed(), 1, "what one pupil of a class did alone is no gap of the class")
	alone.Exercise = "a"
	require.Len(t, Class{Rows: []Row{alone}}.Missed(), 1, "of one pupil it is all there is")

	m := c.Medians()
	require.Len(t, m, 1)
	assert.Equal(t, 4, m[0].Pupils)
	assert.InDelta(t, 75, m[0].Points, 1e-9, "of 60, 70, 80 and 90")
}

// A run handed in twice is one attempt; an earlier state of a run that went on is said to be
// one, and who sits at the bench of another's name.
func TestHandedInTwice(t *testing.T) {
	row := func(file, who, sum string, seconds float64, begun int64) Row {
		return Row{File: file, sum: sum, Result: score.Result{Operator: who, Exercise: "a", Seed: 7, Seconds: seconds, Begun: time.Unix(begun, 0)}}
	}
	whole := row("whole", "A", "s2", 200, 1)
	whole.Ended = true
	other := row("other", "B", "s3", 50, 2)
	other.Seed = practice.OwnSeed("A")
	c := Class{Rows: []Row{whole, row("part", "A", "s1", 100, 1), row("again", "A", "s1", 100, 1), other, row("later", "A", "s4", 10, 9)}}
	c.copies()
	c.attempts()
	assert.Empty(t, c.Rows[0].Flags)
	assert.Equal(t, []string{"an earlier state of whole"}, c.Rows[1].Flags)
	assert.Equal(t, []string{"an earlier state of whole", "the same journal as part"}, c.Rows[2].Flags)
	assert.Equal(t, []string{"on the own bench of A"}, c.Rows[3].Flags)
	var numbers []int
	for _, r := range c.Rows {
		numbers = append(numbers, r.Attempt)
	}
	assert.Equal(t, []int{1, 1, 1, 1, 2}, numbers)
}

// The points that are kept for the list come back as they were; a cell that cannot be read is
// passed over.
func TestPointsAreKept(t *testing.T) {
	folder := t.TempDir()
	assert.Empty(t, Stands(folder).Best, "no file yet")
	require.NoError(t, Note(folder, score.Result{Exercise: "first-buffer", Points: 83.4, Skills: map[practice.Skill]score.Share{practice.Waiting: {Got: 7.5, Of: 10}}}))
	require.NoError(t, Note(folder, score.Result{Exercise: "a, \"b\"", Points: 40}))
	s := Stands(folder)
	assert.Equal(t, map[string]float64{"first-buffer": 83, "a, \"b\"": 40}, s.Best)
	assert.InDelta(t, 0.75, s.Skills[practice.Waiting], 1e-9)
	assert.Empty(t, skillsIn([]string{"waiting=8", "waiting=x/10", "waiting=1/0", "none=1/2"}))
}

// A pupil's runs count once each and in their order; what is next is said with its reason.
func TestWhatIsNext(t *testing.T) {
	at := func(file string, begun int64, points float64, got float64) Row {
		return Row{File: file, Result: score.Result{Operator: "A", Exercise: "first-buffer", Points: points, Begun: time.Unix(begun, 0),
			Items: []score.Item{{Key: "x"}}, Skills: map[practice.Skill]score.Share{practice.Waiting: {Got: got, Of: 10}}}}
	}
	none := at("z", 5, 0, 0)
	none.Items, none.Operator = nil, ""
	c := Class{Rows: []Row{at("b", 2, 50, 4), at("a", 1, 70, 9), at("a copied", 1, 70, 9), at("a, as it was", 1, 60, 0), none}}
	pupils := c.Pupils()
	require.Len(t, pupils, 2)
	assert.Equal(t, []string{"A", "z"}, []string{pupils[0].Who, pupils[1].Who}, "a run of nobody is of its file")
	assert.Equal(t, "a", pupils[0].Rows[0].File, "the first first")
	assert.Equal(t, 2, pupils[0].Standing.Tries["first-buffer"])
	assert.InDelta(t, 0.6*0.4+0.4*0.9, pupils[0].Standing.Skills[practice.Waiting], 1e-9)
	assert.Empty(t, pupils[1].Standing.Tries, "a run that cannot be judged is no try")

	all, err := practice.Exercises()
	require.NoError(t, err)
	next, reason := pupils[0].Standing.Next(all)
	assert.Equal(t, fmt.Sprintf("%d, %s (%s)", next.Number, next.Title, reason), pupils[0].Next)
	var done Class
	for _, e := range all {
		done.Rows = append(done.Rows, Row{Result: score.Result{Operator: "A", Exercise: e.Name, Points: 100, Items: []score.Item{{Key: "x"}}}})
	}
	assert.Equal(t, "nothing: all steps are done", done.Pupils()[0].Next)
	first := all[slices.IndexFunc(all, func(e *practice.Exercise) bool { return e.Level == 1 })]
	s := NewStanding()
	e, why := s.Next(all)
	assert.Equal(t, first, e)
	assert.Equal(t, "step 1, "+practice.StepName(1), why)
	for _, e := range all {
		if e.Level == 1 {
			s.Tries[e.Name], s.Best[e.Name] = 1, 55
		}
	}
	_, why = s.Next(all)
	assert.Equal(t, "once more: 55 points so far", why)
	s = NewStanding()
	s.Skills[practice.Waiting] = 0.89
	_, why = s.Next(all)
	assert.Equal(t, fmt.Sprintf("%s is at 89 %%", practice.Waiting), why)
	for _, k := range practice.Skills {
		s := NewStanding()
		s.Skills[k] = 0.5
		e, _ := s.Next(all)
		for _, o := range all {
			assert.False(t, o.Level == 1 && o.Weighs(k) > e.Weighs(k), "%s asks more of %s than %s", o.Name, k, e.Name)
		}
	}
	s.Skills[practice.Waiting] = 0.9
	_, why = s.Next(all)
	assert.Equal(t, "step 1, "+practice.StepName(1), why, "nine tenths are nothing that is weak")
	for _, e := range all {
		s.Best[e.Name] = 100
	}
	_, why = s.Next(all)
	assert.Equal(t, "all steps are done", why)
}

// The tries of a class are those of each pupil, however good they were.
func TestTries(t *testing.T) {
	var rows []Row
	for i, who := range []string{"A", "A", "A", "B", "C"} {
		rows = append(rows, Row{Attempt: 1 + i%3, Result: score.Result{Operator: who, Exercise: "a", Points: 50, Items: []score.Item{{Key: "x"}}, Skills: map[practice.Skill]score.Share{practice.Bottle: {}}}})
	}
	rows[4].Attempt = 2
	rows = append(rows, Row{Attempt: 9, Result: score.Result{Operator: "A", Exercise: "b"}})
	m := Class{Rows: rows}.Medians()
	require.Len(t, m, 1, "what was not judged is not counted")
	assert.InDelta(t, 2, m[0].Tries, 1e-9, "of 3, 1 and 2")
	assert.Empty(t, m[0].Skills, "a skill that no exercise asked for")
}

// Of a journal whose beginning was changed nothing is judged, and its row still says whose it
// is and of what.
func TestAChangedBeginning(t *testing.T) {
	folder := t.TempDir()
	e, err := practice.Find("first-buffer")
	require.NoError(t, err)
	slip, err := practice.NewSlip(e, 7, practice.Full, 1, sim.Every)
	require.NoError(t, err)
	first, err := practice.Start(e, slip, time.Unix(1e9, 0), "test", "bench 4")
	require.NoError(t, err)
	w, err := journal.CreateIn(folder, time.Unix(1e9, 0), e.Name, first)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	read := func() Row {
		c, err := ReadClass(folder, nil)
		require.NoError(t, err)
		require.Len(t, c.Rows, 1)
		return c.Rows[0]
	}
	r := read()
	assert.Equal(t, []string{"bench 4", "first-buffer"}, []string{r.Operator, r.Exercise})
	assert.Contains(t, r.Flags, "the run was not ended")
	assert.NotContains(t, strings.Join(r.Flags, "\n"), "sound")

	text, err := os.ReadFile(w.Path())
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(w.Path(), append(bytes.Clone(text), `{"seq":2,"at":"2001-09-09T0`...), 0o600))
	r = read()
	assert.Contains(t, r.Flags, "its last line is torn, as by a power cut: what comes before it is judged")
	assert.NotContains(t, strings.Join(r.Flags, "\n"), "changed", "nobody is accused of a power cut")

	mailed := bytes.ReplaceAll(bytes.Replace(text, []byte("bench 4"), []byte("bench 5"), 1), []byte("\n"), []byte("\r\n"))
	require.NoError(t, os.WriteFile(w.Path(), mailed, 0o600))
	flagged := strings.Join(read().Flags, "\n")
	assert.Contains(t, flagged, "the sum does not match", "the change counts, and not the line ends")
	assert.NotContains(t, flagged, "judged without that")

	require.NoError(t, os.WriteFile(w.Path(), bytes.Replace(text, []byte("bench 4"), []byte("bench 5"), 1), 0o600))
	r = read()
	assert.Equal(t, []string{"bench 5", "first-buffer"}, []string{r.Operator, r.Exercise})
	assert.EqualValues(t, 7, r.Seed)
	flags := strings.Join(r.Flags, "\n")
	assert.Contains(t, flags, "changed after it was written: ")
	assert.Contains(t, flags, "cannot be judged: nothing of it is sound")
	var out bytes.Buffer
	require.NoError(t, Class{Rows: []Row{r}, Others: 2}.WriteText(&out))
	assert.Contains(t, out.String(), "2 other journals in the folder are not practice runs\n")
	out.Reset()
	require.NoError(t, Class{Rows: []Row{r}}.WriteText(&out))
	assert.NotContains(t, out.String(), "other journals")
}

// A cell of the table that has nothing to say is empty.
func TestEmptyCells(t *testing.T) {
	cell := func(r Row, column string) string {
		var b bytes.Buffer
		require.NoError(t, Class{Rows: []Row{r}}.WriteCSV(&b))
		all, err := csv.NewReader(&b).ReadAll()
		require.NoError(t, err)
		require.Len(t, all[1], len(all[0]))
		return all[1][slices.Index(all[0], column)]
	}
	none := Row{Result: score.Result{}}
	for _, column := range []string{"begun", "looked_for", "value_true", "pk_true", "error_pct"} {
		assert.Empty(t, cell(none, column), column)
	}
	r := Row{Result: score.Result{Begun: time.Date(2026, 11, 2, 9, 0, 0, 0, time.UTC), Sought: &score.Determination{Name: "=NaOH", Value: 0.1012, Error: 0.0125}}}
	assert.Equal(t, "2026-11-02T09:00:00Z", cell(r, "begun"))
	assert.Equal(t, "'=NaOH", cell(r, "looked_for"), "no formula of a spreadsheet")
	assert.Equal(t, "0.1012", cell(r, "value_true"))
	assert.Empty(t, cell(r, "pk_true"), "a strength has none")
	assert.Equal(t, "1.250", cell(r, "error_pct"))
	r.Sought.Error = 1
	assert.Empty(t, cell(r, "error_pct"), "nothing was said")
}
