package tui_test

import (
	"math"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/terminal"
)

// away is a run whose electrode is out for a check in two standards.
func away(stage walk.Stage, byHand bool) view.View {
	v := waiting()
	v.Advice.Reason, v.ByHand = coach.InStandard, byHand
	if stage == walk.Ask {
		v.Advice.Do = coach.Check
	}
	if byHand && stage != walk.Done {
		v.Next = &view.Next{Stands: true}
	}
	v.Away = &view.Away{Stage: stage, Standard: "7.00", Name: "7.00", Number: 1, Of: 2, Odd: "it reads as 4.01 should", End: math.NaN()}
	return v
}

func step(code, text string) intent.Intent {
	return intent.Intent{Kind: intent.Check, Code: code, Text: text}
}

// The keys of a check: Enter and i say that the electrode is where it is wanted, c
// takes the value, Esc ends it.
func TestKeysOfACheck(t *testing.T) {
	in, take, stop := step(intent.CheckIn, ""), step(intent.CheckTake, ""), step(intent.CheckStop, "")
	back := intent.Intent{Kind: intent.Immersed}
	withStandards := waiting()
	withStandards.Standards = []string{"7.00", "4.01"}
	for _, tt := range []struct {
		view view.View
		keys string
		want []intent.Intent
	}{
		{withStandards, "k Enter", []intent.Intent{step(intent.CheckOut, "")}},
		{withStandards, "k 7.00 Enter", []intent.Intent{step(intent.CheckOut, "7.00")}},
		{withStandards, "k Esc", nil},
		{withStandards, "6 k", nil},                                         // first what is typed
		{falling(6, false), "k Enter", []intent.Intent{add("NaOH 1 M", 6)}}, // drops fall: no check, and Enter is theirs
		{away(walk.Immerse, false), "k", nil},
		{away(walk.Immerse, false), "Enter", []intent.Intent{in}},
		{away(walk.Immerse, false), "i", []intent.Intent{in}},
		{away(walk.Immerse, false), "c", nil},
		{away(walk.Immerse, false), "Esc", []intent.Intent{stop}},
		{away(walk.Settle, false), "Enter", nil},
		{away(walk.Settle, false), "c", []intent.Intent{take}},
		{away(walk.Settle, false), "Esc", []intent.Intent{stop}},
		{away(walk.Ask, false), "Enter", []intent.Intent{in}},
		{away(walk.Ask, false), "c", []intent.Intent{take}},
		{away(walk.Done, false), "Esc", nil},
		{away(walk.Done, false), "c", nil},
		{away(walk.Done, false), "Enter", []intent.Intent{back}},
		{away(walk.Done, false), "i", []intent.Intent{back}},
		{away(walk.Immerse, true), "Enter", nil},
		{away(walk.Immerse, true), "7.0 2 Enter", []intent.Intent{value(7.02, 2, false)}},
		{away(walk.Immerse, true), "7.02 s", []intent.Intent{value(7.02, 2, true)}},
		{away(walk.Ask, true), "c", []intent.Intent{take}},
		{away(walk.Done, true), "Enter", []intent.Intent{back}},
	} {
		b := start(t, tt.view)
		b.keys(tt.keys)
		assert.Equal(t, tt.want, b.wants(), "%s at stage %v", tt.keys, tt.view.Away)
	}
	b := start(t, withStandards)
	b.keys("k")
	assert.Contains(t, b.screen(), "check in standards, Enter for 7.00 and 4.01: _")
}

// The same by lines of text.
func TestLinesOfACheck(t *testing.T) {
	for _, tt := range []struct {
		view view.View
		line string
		want []intent.Intent
		says string
	}{
		{waiting(), "k 7.00 4.01", []intent.Intent{step(intent.CheckOut, "7.00 4.01")}, ""},
		{waiting(), "k stop", nil, "No check is in progress"},
		{away(walk.Immerse, false), "", []intent.Intent{step(intent.CheckIn, "")}, "k stop ends the check"},
		{away(walk.Immerse, false), "k", nil, "k stop ends it"},
		{away(walk.Settle, false), "k stop", []intent.Intent{step(intent.CheckStop, "")}, ""},
		{away(walk.Ask, false), "c", []intent.Intent{step(intent.CheckTake, "")}, ""},
		{away(walk.Done, false), "i", []intent.Intent{{Kind: intent.Immersed}}, "BACK into the beaker"},
		{away(walk.Immerse, true), "7.02", []intent.Intent{value(7.02, 2, false)}, ""},
	} {
		synctest.Test(t, func(t *testing.T) {
			k := speak(t, terminal.Options{})
			said := k.show(tt.view) + k.say(tt.line)
			assert.Equal(t, tt.want, k.wants(), tt.line)
			assert.Contains(t, said, tt.says, tt.line)
			k.keys.Close()
			synctest.Wait()
			close(k.views)
			<-k.done
		})
	}
}
