package screen_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen"
	"example.org/halfdrop/tui/widget"
)

// sizes are those that every screen is looked at.
var sizes = [][2]int{{60, 20}, {80, 24}, {120, 40}}

// TestTheReadingStandsApart: without colours nothing but the gap tells the last figure of an
// order from the first of the reading: 47 drops beside 5.21 read as one number.
func TestTheReadingStandsApart(t *testing.T) {
	for _, s := range samples() {
		for _, size := range sizes {
			rows := strings.Split(screen.Coach(s.st, size[0], size[1]), "\n")
			top := slices.IndexFunc(rows, func(r string) bool { return beside.MatchString(r) })
			if !assert.Positive(t, top, s.name) {
				continue
			}
			left, _, _ := strings.Cut(rows[top], beside.FindString(rows[top]))
			at := utf8.RuneCountInString(left)
			for _, row := range rows[top : top+4] {
				cells := []rune(row + strings.Repeat(" ", size[0]))
				assert.Equal(t, "  ", string(cells[at-2:at]), "%s %v:\n%s", s.name, size, strings.Join(rows, "\n"))
			}
		}
	}
}

// beside is what stands over the reading.
var beside = regexp.MustCompile(`pH [×●○≈] |display, `)

// TestNoReadingYetIsWhole: it was cut at 60 columns.
func TestNoReadingYetIsWhole(t *testing.T) {
	for _, size := range sizes {
		for _, row := range strings.Split(screen.Coach(named("first"), size[0], size[1]), "\n") {
			if strings.Contains(row, "no reading") {
				assert.NotContains(t, row, "…", size)
			}
		}
	}
}

// TestTheListNamesEachBottle: what was withdrawn or corrected is said in as many words as
// leave room for the bottle.
func TestTheListNamesEachBottle(t *testing.T) {
	st := named("waiting")
	st.View.Entries = []view.Entry{{Stock: 1, Drops: 33, Volume: 1.65e-3, Undone: true}, {Stock: 1, Drops: 32, Volume: 1.6e-3, Changed: true}}
	for _, size := range sizes {
		out := screen.Coach(st, size[0], size[1])
		assert.Regexp(t, `(withdrawn|undone): 33 drops NaOH 0.1 M`, out, size)
		assert.Regexp(t, `32 drops(, corrected,)? NaOH 0.1 M`, out, size)
	}
}

// TestHandsOffLeavesNothingToGo: where nothing is to be given, nothing is said to be to come.
func TestHandsOffLeavesNothingToGo(t *testing.T) {
	assert.NotContains(t, screen.Coach(named("hands off"), 80, 24), "to go")
	assert.Contains(t, screen.Coach(named("waiting"), 80, 24), "to go")
}

// TestTheNumberGoesBeforeTheRemark: what Enter would record is not cut away for what is said
// of it.
func TestTheNumberGoesBeforeTheRemark(t *testing.T) {
	st := named("add")
	st.Hand.Typed, st.Hand.Titrant, st.Hand.Other = "7", "NaOH 0.1 M", true
	st.Message = "this addition is recorded as NaOH 0.1 M, which is not the one advised"
	for _, size := range sizes {
		assert.Contains(t, screen.Coach(st, size[0], size[1]), "added 7_ drops of NaOH 0.1 M (not the one advised)", size)
	}
}

// TestAKeyThatIsNoAnswer: a question that does not take a key says so.
func TestAKeyThatIsNoAnswer(t *testing.T) {
	st := named("check")
	st.View.Advice.Reason = coach.Mistaken
	st.Prompt, st.Message, st.Wrong = "is it so: addition 2 did not reach the beaker?", "y (yes) or Esc (leave it)", true
	assert.Contains(t, strings.Join(strings.Fields(screen.Coach(st, 80, 24)), " "), "▲ is it so: addition 2 did not reach the beaker? (y (yes) or Esc (leave it))")
	st.Prompt, st.Message = "End the run before its aim? y or n", "y or n"
	assert.Contains(t, screen.Coach(st, 80, 24), "▲ End the run before its aim? y or n\n")
}

// TestDropsDoNotRunIntoTheirNumber: 31drops read as one word.
func TestDropsDoNotRunIntoTheirNumber(t *testing.T) {
	out := screen.Coach(named("given"), 120, 40)
	rows, unit := widget.BlockDigits("31", widget.Medium, &widget.Unicode), widget.BlockDigits("drops", widget.Tall, &widget.Unicode)
	low := len(rows) - 1
	assert.Regexp(t, regexp.QuoteMeta(strings.TrimRight(rows[low], " "))+`  +`+regexp.QuoteMeta(strings.TrimRight(unit[len(unit)-1], " ")), out)
}

// TestTheCountDoesNotShrink: while drops fall by themselves the number that is left stays
// large, though it loses a figure.
func TestTheCountDoesNotShrink(t *testing.T) {
	for _, size := range sizes {
		for _, left := range []float64{100, 12, 9, 1} {
			st := named("giving")
			st.View.Giving = &view.Giving{Titrant: "NaOH 1 M", Drops: 120, Fallen: 120 - left}
			out := screen.Coach(st, size[0], size[1])
			assert.True(t, shows(out, widget.Number(left, 0), everyScale[1:]...), "%g at %v\n%s", left, size, out)
			assert.Contains(t, out, "ADDING")
		}
	}
}

// TestLongSentencesAreWhole: the sentence of a CHECK may take a third row, and a note of the
// line has room below the card.
func TestLongSentencesAreWhole(t *testing.T) {
	for _, size := range sizes {
		st := named("check")
		st.View.Advice.Mistakes = []coach.Mistake{{Name: "disodium hydrogen phosphate dodecahydrate in the beaker for disodium hydrogen phosphate dihydrate", Code: "other_hydrate:x"}}
		assert.Contains(t, plainWords(screen.Coach(st, size[0], size[1])), st.View.Sentence(), size)
		st = named("add")
		st.Said, st.View.Note = "", view.PickupWords
		if size[0] > 60 {
			assert.Contains(t, plainWords(screen.Coach(st, size[0], size[1])), "note: "+view.PickupWords, size)
		}
	}
}

// plainWords are the words of a screen in one line, without the edge of the card.
func plainWords(out string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("┃", " ", "┊", " ", "║", " ", "╏", " ").Replace(out)), " ")
}

// TestTheReasonOfAPastMoment: it is whole at the least size, where nothing else wants the room.
func TestTheReasonOfAPastMoment(t *testing.T) {
	for _, name := range []string{"first", "stop", "dosing"} {
		st := named(name)
		out := screen.Replayed(screen.Replay{State: st, Seconds: 600, Speed: 10}, 60, 20)
		assert.Contains(t, plainWords(out), st.View.Why(), name)
		assert.Contains(t, out, "replay 10x, stopped,")
	}
}

// TestTheScaleStandsAtTheAim: in the tolerance the scale does not turn round with the last
// figure of each reading, from whichever side the aim was reached.
func TestTheScaleStandsAtTheAim(t *testing.T) {
	scale := func(start, ph float64) string {
		st := named("stop")
		st.View.Points = []view.Point{{PH: start}}
		reading(&st.View, ph, probe.Settled, ph, 0.006)
		rows := strings.Split(screen.Coach(st, 80, 24), "\n")
		i := slices.IndexFunc(rows, func(r string) bool { return strings.Contains(r, "now 7") })
		return rows[i+2]
	}
	for _, start := range []float64{4.4, 9.9} {
		for _, off := range []float64{-0.015, -0.005, 0, 0.005, 0.015} {
			assert.Equal(t, scale(start, 7.19), scale(start, 7.19+off), "%+.3f", off)
		}
	}
	assert.NotEqual(t, scale(4.4, 7.19), scale(4.4, 7.21), "past the aim it shows the way back")
	assert.NotEqual(t, scale(9.9, 7.19), scale(9.9, 7.17), "past the aim it shows the way back")
}

// TestTheRoomOfTheCurveIsSpokenFor: of a beaker that nobody weighed no curve is drawn before
// the first addition, and the half screen does not stand empty.
func TestTheRoomOfTheCurveIsSpokenFor(t *testing.T) {
	st := named("first")
	st.View.Unweighed, st.View.Curve = true, nil
	assert.Contains(t, plainWords(screen.Coach(st, 120, 40)), "your readings are drawn here after the first addition")
	assert.NotContains(t, screen.Coach(named("first"), 120, 40), "drawn here")
}
