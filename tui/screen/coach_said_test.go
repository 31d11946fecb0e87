package screen_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen"
)

// TestLongMessages: an answer to a key that is longer than the row goes over the rows above
// it, whole.
func TestLongMessages(t *testing.T) {
	st := named("add")
	st.Message, st.Wrong = "give reagent and strength: NaOH 0.1 M; or KOH 0.5 M, 40 µL, bottle B7 for drops of 40 µL and a bottle of that name", true
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		out := screen.Coach(st, size[0], size[1])
		assert.Contains(t, strings.Join(strings.Fields(out), " "), st.Message, "%v:\n%s", size, out)
		lines := strings.Split(out, "\n")
		assert.Contains(t, lines[len(lines)-1], "? keys")
	}
}

// TestWhatLedAway: where an addition led away from the aim more is to go than was at first,
// and no part of a whole is said.
func TestWhatLedAway(t *testing.T) {
	st := named("waiting")
	st.View.Charge = -0.2e-3
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		out := screen.Coach(st, size[0], size[1])
		assert.Regexp(t, `\d mL (NaOH 1 M )?to go`, out)
		assert.NotRegexp(t, `of \d+\.\d+ mL to go|\d, \d+\.\d+ to go`, out)
	}
}

// TestLongQuestions: a question is read from its beginning, and what is typed stands whole
// or at its end.
func TestLongQuestions(t *testing.T) {
	st := named("add")
	st.Prompt = "999 drops of NaOH 1 M: there is room for 49.4 mL under the mark; up to 989 drops is accepted without a question. Record it?"
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		assert.Contains(t, strings.Join(strings.Fields(screen.Coach(st, size[0], size[1])), " "), st.Prompt)
	}
	st.Prompt = "remark: " + strings.Repeat("stirred a little harder than before ", 9) + "then left alone_"
	assert.Contains(t, screen.Coach(st, 60, 20), "then left alone_")
}

// The sign beside the reading is that of the sentence: where done is read at rest it does
// not say that it settles, and where the sentence waits for it to settle it is not settled.
func TestTheSignIsThatOfTheSentence(t *testing.T) {
	st := named("stop")
	reading(&st.View, 7.188, probe.Settling, 7.192, 0.006)
	assert.Contains(t, screen.Coach(st, 80, 24), "● settled")
	st = named("waiting")
	reading(&st.View, 7.07, probe.Settled, 7.12, 0.008)
	out := screen.Coach(st, 80, 24)
	assert.NotContains(t, out, "settled")
	assert.Contains(t, out, "○ settling")
}

// TestNoMoreOfWhatHasGonePast: in the middle of an addition, counted or not, the screen says to
// stop, and not how many drops are left.
func TestNoMoreOfWhatHasGonePast(t *testing.T) {
	for _, name := range []string{"dosing", "counting"} {
		st := named(name)
		st.View.Falling = &view.Falling{Since: 240, Asks: true, Past: true}
		st.View.Advice.Do, st.View.Advice.Reason = coach.Check, coach.Unsaid
		for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
			out := screen.Coach(st, size[0], size[1])
			assert.Contains(t, out, "NO MORE of", name)
			assert.Contains(t, strings.Join(strings.Fields(strings.ReplaceAll(out, "╏", " ")), " "), "is past the aim", name)
			assert.NotContains(t, out, "ADD", name)
		}
	}
}

// Of a beaker that nobody weighed no mark stands on the screen, and no temperature of use: the
// aim is for it as it is.
func TestNoMarkAndNoUseOfWhatNobodyWeighed(t *testing.T) {
	st := named("stop")
	st.View.Unweighed = true
	for _, size := range [][2]int{{60, 20}, {80, 24}, {120, 40}} {
		out := screen.Coach(st, size[0], size[1])
		assert.Contains(t, out, "the beaker as it is")
		assert.Contains(t, out, " mL in the beaker")
		assert.NotContains(t, out, "in use")
		assert.NotContains(t, out, " of 500 mL")
		assert.NotContains(t, out, "mark")
	}
	assert.Equal(t, "Target pH 7.40 in the beaker as it is", screen.Wanted(st.View))
}
