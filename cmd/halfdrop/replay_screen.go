package main

import (
	"fmt"
	"slices"

	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui"
)

// tape is a run for the screen that looks back.
type tape struct {
	run   *replay.Run
	stops []tui.Stop
}

func newTape(r *replay.Run) *tape {
	t := &tape{run: r}
	v := r.Review()
	for _, s := range v.Steps {
		t.stops = append(t.stops, tui.Stop{T: s.T, Done: deed(s), Story: story(v.Over, s.N)})
	}
	for _, o := range v.Over {
		if o.Step == 0 {
			t.stops = append(t.stops, tui.Stop{T: o.T, Done: "nothing was recorded here", Story: o.Words})
		}
	}
	slices.SortStableFunc(t.stops, func(a, b tui.Stop) int {
		switch {
		case a.T < b.T:
			return -1
		case a.T > b.T:
			return 1
		}
		return 0
	})
	return t
}

// deed is what was done beside what was advised.
func deed(s replay.Step) string {
	text := fmt.Sprintf("addition %d: %s; advised: %s", s.N, s.Amount(), replay.AdviceText(s.Advised))
	switch {
	case s.Undone:
		text += "; withdrawn later"
	case s.Entered != "":
		text += "; first recorded as " + s.Entered
	}
	return text
}

func story(over []replay.Overshoot, step int) string {
	for _, o := range over {
		if o.Step == step {
			return o.Words
		}
	}
	return ""
}

func (t *tape) Seconds() float64  { return t.run.Seconds() }
func (t *tape) Stops() []tui.Stop { return t.stops }

// View is the moment just before whatever happened at t, but for readings: the
// advice on which an addition was made, not what became of it.
func (t *tape) View(at float64, old run.View) run.View {
	n := t.run.Find(at)
	for n > 0 && t.run.Time(n) == at && replay.Additions(t.run.Event(n-1)) {
		n--
	}
	return t.run.At(n).LookAgain(at, old)
}
