package task_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/screen/screentest"
	"example.org/halfdrop/tui/screen/task"
	"example.org/halfdrop/tui/widget"
)

func TestTask(t *testing.T) {
	t0 := task.Task{Title: "First buffer", Facts: "level 1 · coach: full · time × 2", Set: &widget.Unicode,
		Story: "The kelp nursery keeps spore cultures in MOPS. The old bottle is empty and a new one is due by noon.",
		Goal:  "What to do: bring the beaker to its aim as the coach says.",
		Bench: []string{"In the beaker: 5 mmol MOPS in 200 mL of water.", "Wanted: pH 7.20 ± 0.03 in use, at 22 °C."},
		Keys:  []keyrow.Key{{Name: "Enter", Short: "begin"}, {Name: "c", Short: "coach"}, {Name: "q", Short: "back"}}}
	screentest.Goldens(t, "", func(w, h int) string { return task.Tell(t0, w, h) })
}

func sampleDebrief() task.Debrief {
	return task.Debrief{Title: "No coach at all", Facts: "bench 109, coach off, 3:01", Points: 22, Verdict: "past the target, not back", Set: &widget.Unicode,
		Items: []task.Mark{
			{Name: "in tolerance", Got: 0, Of: 30, Why: "7.28 made up to the mark, for 6.20 ± 0.03: 1.08 off"},
			{Name: "no overshoot", Got: 10, Of: 20, Why: "past the aim once, by 1.08 at most"},
			{Name: "waited for settling", Got: 10, Of: 10, Why: "every addition fell on a reading that was good enough to go by"},
		},
		Skills: []task.Mark{{Name: "reading the curve", Got: 10, Of: 50}, {Name: "waiting", Got: 10, Of: 10}},
		Moment: "The dearest loss, 30 of 30 for \"in tolerance\": at 1:34 120 drops of NaOH 1 M went 1.08 past the target. What would have kept it: a smaller step.",
		Story:  []string{"From pH 3.58 to 7.28 in 1 addition and 3:03.", "At 1:34 an addition led 1.08 past the target."},
		Learn:  "Estimate, give part of it, read, estimate again.",
		Compare: []task.Beside{{T: 94, Did: "120 drops of NaOH 1 M", Coach: "23 drops of NaOH 1 M", Verdict: "5.2 × what was safe"},
			{T: 120, Did: "2 drops of HCl 0.1 M", Coach: "4 drops of HCl 0.1 M", Verdict: "less than was safe"}},
		Keys: []keyrow.Key{{Name: "Enter", Short: "replay what mattered"}, {Name: "Tab", Short: "next page"}, {Name: "q", Short: "back"}}}
}

func TestDebrief(t *testing.T) {
	for page := range task.Pages {
		d := sampleDebrief()
		d.Page = page
		screentest.Goldens(t, fmt.Sprint("page ", page+1), func(w, h int) string { return task.Debriefed(d, w, h) })
	}
}

func sampleTrace() task.Trace {
	t := task.Trace{Title: "What shows it?", Facts: "point at a reading or an addition", Set: &widget.Unicode, Decimals: 2, Cursor: 64,
		Doses: []task.TraceDose{{T: 40, N: 1, Text: "6 drops of NaOH 1 M"}, {T: 90, N: 2, Text: "4 drops of NaOH 1 M"}},
		Keys:  []keyrow.Key{{Name: "← →", Short: "reading"}, {Name: "Tab", Short: "addition"}, {Name: "Enter", Short: "this shows it"}}}
	for i := range 120 {
		ph := 6.40
		if i > 54 {
			ph = 6.71 - 0.2*math.Exp(-float64(i-54)/5)
		}
		t.Points = append(t.Points, task.TracePoint{T: float64(i), PH: ph + 0.01*float64(i%3)})
	}
	return t
}

func TestTrace(t *testing.T) {
	screentest.Goldens(t, "", func(w, h int) string { return task.Traced(sampleTrace(), w, h) })
	tr := sampleTrace()
	tr.Step(-3)
	assert.Equal(t, 61.0, tr.Cursor)
	tr.StepDose(1)
	assert.Equal(t, 90.0, tr.Cursor)
	assert.Contains(t, tr.At()[0], "Points at addition 2, at 01:30: 4 drops of NaOH 1 M.")
	assert.Contains(t, tr.At()[1], "went from 6.7")
	tr.StepDose(1)
	assert.Equal(t, 40.0, tr.Cursor, "round and round")
	tr.Step(1)
	assert.Equal(t, 41.0, tr.Cursor)
	assert.False(t, tr.OnDose)
	assert.Equal(t, "1 s after addition 1, 6 drops of NaOH 1 M.", tr.At()[1])
	tr.Step(-1000)
	assert.Equal(t, []string{"Points at the reading of 00:00: pH 6.40.", "Nothing had been added."}, tr.At())
	assert.Equal(t, "Nothing has been read yet.", task.Trace{}.At()[0])
}

// No size breaks a screen, and none is left.
func TestPracticeScreensFit(t *testing.T) {
	for w := 1; w < 100; w += 7 {
		for h := 1; h < 40; h += 3 {
			for page := range task.Pages {
				d := sampleDebrief()
				d.Page = page
				screentest.Fits(t, task.Debriefed(d, w, h), w, h)
			}
			screentest.Fits(t, task.Traced(sampleTrace(), w, h), w, h)
			screentest.Fits(t, task.Tell(task.Task{Title: "x", Story: "a story of some length that has to be broken", Set: &widget.ASCII}, w, h), w, h)
		}
	}
}

// A long reason takes the rows that short ones leave: five items at 80×24, none of them cut.
func TestReasonsAreWhole(t *testing.T) {
	d := sampleDebrief()
	long := "at 1:04 the stirrer has stopped, by the reading at 0:59: the answer to the addition at 0:51 is 2.19 beside what a sound bench would show"
	d.Items = append([]task.Mark{{Name: "what was wrong", Got: 55, Of: 55, Why: long}}, append(d.Items, task.Mark{Name: "the record", Got: 10, Of: 10, Why: "the log is what fell"})...)
	text := ansi.Strip(task.Debriefed(d, 80, 24))
	assert.NotContains(t, text, "…")
	assert.Contains(t, strings.Join(strings.Fields(text), " "), "would show")
}
