// Package past looks back: the journal of a run as a tape for the screen, with every
// overshoot explained, and the log of another program as a page.
package past

import (
	"cmp"
	"fmt"
	"slices"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/playback"
)

// tape is a run for the screen that looks back. The additions are known at
// once; what was advised and why it went wrong is worked out meanwhile.
type tape struct {
	run   *replay.Run
	ready chan struct{}
	bare  []playback.Stop
	full  []playback.Stop // once ready is closed
}

// newTape is a run to step through. Its looking back goes on behind it: see Ready.
func newTape(r *replay.Run) *tape {
	t := &tape{run: r, ready: make(chan struct{})}
	for e := range r.Others {
		if e.Kind == journal.Added {
			t.bare = append(t.bare, playback.Stop{T: e.T})
		}
	}
	go func() {
		t.full = stopsOf(r.Review())
		close(t.ready)
	}()
	return t
}

// stopsOf are the moments to stop at, with their words.
func stopsOf(v replay.Review) []playback.Stop {
	var out []playback.Stop
	for _, s := range v.Steps {
		out = append(out, playback.Stop{T: s.T, Done: deed(s), Story: story(v.Over, s.N)})
	}
	for _, o := range v.Over {
		if o.Step == 0 {
			out = append(out, playback.Stop{T: o.T, Done: "nothing was recorded here", Story: o.Words})
		}
	}
	slices.SortStableFunc(out, func(a, b playback.Stop) int { return cmp.Compare(a.T, b.T) })
	return out
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

// Seconds is how long the run is.
func (t *tape) Seconds() float64 { return t.run.Lasted() }

// Ready is closed when the run has been gone through.
func (t *tape) Ready() <-chan struct{} { return t.ready }

// Stops are the additions, and where the run went past its aim.
func (t *tape) Stops() []playback.Stop {
	select {
	case <-t.ready:
		return t.full
	default:
		return t.bare
	}
}

// View is the moment just before whatever happened at t, but for readings: the
// advice on which an addition was made, not what became of it.
func (t *tape) View(at float64, old view.View) view.View {
	n := t.run.Find(at)
	for n > 0 && t.run.Time(n) == at && replay.Additions(t.run.Event(n-1)) {
		n--
	}
	v := t.run.At(n).LookAgain(at, old)
	if flaw := t.run.Flaw(); flaw != "" {
		v.Alarm = "NOT WHOLE: " + flaw
	}
	return v
}

// OpenTape is the journal for the screen that looks back.
func OpenTape(path string) (*tape, error) {
	r, err := replay.Open(path)
	if err != nil {
		return nil, err
	}
	return newTape(r), nil
}
