package lesson

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/practice"
	"example.org/halfdrop/meter/practice/class"
	"example.org/halfdrop/meter/practice/score"
	"example.org/halfdrop/meter/sim"
)

// left is a run of an exercise that was begun in a folder, and no more.
func left(t *testing.T, folder, exercise string) string {
	t.Helper()
	w := begun(t, folder, exercise, "bench 4")
	require.NoError(t, w.Close())
	return w.Path()
}

func begun(t *testing.T, folder, exercise, operator string) *journal.Writer {
	t.Helper()
	e, err := practice.Find(exercise)
	require.NoError(t, err)
	slip, err := practice.NewSlip(e, 7, practice.Full, 1, sim.Every)
	require.NoError(t, err)
	at := time.Date(2026, 11, 2, 9, 0, 0, 0, time.UTC)
	first, err := practice.Start(e, slip, at, "test", operator)
	require.NoError(t, err)
	w, err := journal.CreateIn(folder, at, e.Name, first)
	require.NoError(t, err)
	return w
}

// In the folder of a class there are the runs of everybody: who says who they are resumes a
// run of their own, or of nobody, and nobody one that is going on at another seat.
func TestResumesAtOnesOwnSeat(t *testing.T) {
	folder := t.TempDir()
	own := left(t, folder, "first-buffer")
	require.NoError(t, begun(t, folder, "which-way", "bench 5").Close())
	going := begun(t, folder, "late-part", "bench 4")
	defer going.Close()
	for operator, want := range map[string]string{"bench 4": own, "Bench 4": own, "bench 6": ""} {
		l := Lesson{Folder: folder, Operator: operator}
		path, err := l.whichLeft(nil)
		if assert.Equal(t, want, path, operator); want == "" {
			assert.ErrorContains(t, err, "no exercise of bench 6 in "+folder+" was left unfinished")
		}
	}
	nobody := begun(t, folder, "come-back", "")
	require.NoError(t, nobody.Close())
	path, err := (&Lesson{Folder: folder, Operator: "bench 6"}).whichLeft(nil)
	require.NoError(t, err)
	assert.Equal(t, nobody.Path(), path)
	m, _, err := (&Lesson{Folder: folder}).menu(-1)
	require.NoError(t, err)
	for _, r := range m.Rows {
		assert.NotEqual(t, "Resume: The late part", r.Text, "it is going on")
	}
	assert.Len(t, (&Lesson{Folder: folder}).unfinished(folder), 3, "of whoever it is")
}

// The menu has the runs that were left before the exercises, and the cursor on what is next,
// unless it was elsewhere before.
func TestTheMenuOfExercises(t *testing.T) {
	l := Lesson{Folder: t.TempDir()}
	all, err := practice.Exercises()
	require.NoError(t, err)
	m, picks, err := l.menu(-1)
	require.NoError(t, err)
	require.Len(t, picks, len(all))
	assert.Equal(t, 0, m.At)
	assert.Equal(t, "next: 1, "+all[0].Title+" (step 1, "+practice.StepName(1)+")", m.Facts)
	assert.Equal(t, "step 1", m.Rows[0].Right)

	require.NoError(t, class.Note(l.Folder, score.Result{Exercise: all[0].Name, Points: 91}))
	path := left(t, l.Folder, all[2].Name)
	m, picks, err = l.menu(-1)
	require.NoError(t, err)
	require.Len(t, m.Rows, len(all)+1)
	assert.Equal(t, picked{all[2], path}, picks[0])
	assert.Equal(t, "Resume: "+all[2].Title, m.Rows[0].Text)
	assert.Equal(t, "best 91 · step 1", m.Rows[1].Right)
	next, _ := class.Stands(l.Folder).Next(all)
	assert.Equal(t, next, picks[m.At].exercise)
	for before, at := range map[int]int{4: 4, 1000: len(all)} {
		m, _, err = l.menu(before)
		require.NoError(t, err)
		assert.Equal(t, at, m.At)
	}
	for _, e := range all {
		require.NoError(t, class.Note(l.Folder, score.Result{Exercise: e.Name, Points: 100}))
	}
	m, _, err = l.menu(-1)
	require.NoError(t, err)
	assert.Equal(t, "all steps are done", m.Facts)

	which, err := l.whichLeft(nil)
	require.NoError(t, err)
	assert.Equal(t, path, which)
	var out bytes.Buffer
	require.NoError(t, l.ListExercises(&out))
	assert.Contains(t, out.String(), "Left at 0:00: halfdrop practice --resume "+path+"\n")
}

// An exercise of one's own has no number; where a calibration belongs to it, the person says
// by number which standards, and leaves with the input.
func TestExercisesInLines(t *testing.T) {
	e, err := practice.Find("first-buffer")
	require.NoError(t, err)
	own := *e
	assert.Equal(t, "1. "+own.Title, sitting{e: &own}.task().Title)
	own.Number = 0
	assert.Equal(t, own.Title, sitting{e: &own}.task().Title)

	var out bytes.Buffer
	lists := [][]string{{"7.00", "4.01"}, {"7.00", "10.01"}}
	f := &lineFront{Terminal: Terminal{In: strings.NewReader("x\n0\n3\n 2 \n"), Out: &out}}
	n, err := f.standards(context.Background(), lists)
	require.NoError(t, err)
	assert.Equal(t, 1, n)
	assert.Contains(t, out.String(), "2 7.00 and 10.01\n")
	assert.Equal(t, 3, strings.Count(out.String(), "Type a number from 1 to 2."))
	_, err = f.standards(context.Background(), lists)
	assert.ErrorIs(t, err, errLeft, "nobody types any more")
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	f.lines = make(chan string)
	_, err = f.next(gone)
	assert.ErrorIs(t, err, context.Canceled)
}

// What is given by a burette is said in mL, what by a dropper in drops; what is looked for is
// known to about so much only.
func TestBenchesOfDeterminations(t *testing.T) {
	all, err := practice.Exercises()
	require.NoError(t, err)
	seen := map[bool]int{}
	for _, e := range all {
		if !e.Determines() {
			continue
		}
		setup, err := e.Setup()
		require.NoError(t, err)
		said := strings.Join(determining(setup), "\n")
		for _, st := range setup.Stocks {
			seen[st.ByML]++
			want := fmt.Sprintf("%s, in drops of %.3g µL", st.Name, st.Drop.Microlitres())
			if st.ByML {
				want = st.Name + ", in mL"
			}
			assert.Contains(t, said, want, e.Name)
		}
	}
	assert.Positive(t, seen[true])
}
