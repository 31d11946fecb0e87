package tui_test

import (
	"math"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/terminal"
)

// away is a run whose electrode is out for a check in two standards.
func away(stage calib.Stage, byHand bool) run.View {
	v := waiting()
	v.Advice.Reason, v.ByHand = coach.InStandard, byHand
	if stage == calib.Ask {
		v.Advice.Do = coach.Check
	}
	if byHand && stage != calib.Done {
		v.Next = &run.Next{Stands: true}
	}
	v.Away = &run.Away{Stage: stage, Standard: "7.00", Name: "7.00", Number: 1, Of: 2, Odd: "it reads as 4.01 should", End: math.NaN()}
	return v
}

func step(code, text string) run.Intent {
	return run.Intent{Kind: run.WantCheck, Code: code, Text: text}
}

// The keys of a check: Enter and i say that the electrode is where it is wanted, c
// takes the value, Esc ends it.
func TestKeysOfACheck(t *testing.T) {
	in, take, stop := step(run.CheckIn, ""), step(run.CheckTake, ""), step(run.CheckStop, "")
	back := run.Intent{Kind: run.WantImmersed}
	withStandards := waiting()
	withStandards.Standards = []string{"7.00", "4.01"}
	for _, tt := range []struct {
		view run.View
		keys string
		want []run.Intent
	}{
		{withStandards, "k Enter", []run.Intent{step(run.CheckOut, "")}},
		{withStandards, "k 7.00 Enter", []run.Intent{step(run.CheckOut, "7.00")}},
		{withStandards, "k Esc", nil},
		{withStandards, "6 k", nil},                                      // first what is typed
		{falling(6, false), "k Enter", []run.Intent{add("NaOH 1 M", 6)}}, // drops fall: no check, and Enter is theirs
		{away(calib.Immerse, false), "k", nil},
		{away(calib.Immerse, false), "Enter", []run.Intent{in}},
		{away(calib.Immerse, false), "i", []run.Intent{in}},
		{away(calib.Immerse, false), "c", nil},
		{away(calib.Immerse, false), "Esc", []run.Intent{stop}},
		{away(calib.Settle, false), "Enter", nil},
		{away(calib.Settle, false), "c", []run.Intent{take}},
		{away(calib.Settle, false), "Esc", []run.Intent{stop}},
		{away(calib.Ask, false), "Enter", []run.Intent{in}},
		{away(calib.Ask, false), "c", []run.Intent{take}},
		{away(calib.Done, false), "Esc", nil},
		{away(calib.Done, false), "c", nil},
		{away(calib.Done, false), "Enter", []run.Intent{back}},
		{away(calib.Done, false), "i", []run.Intent{back}},
		{away(calib.Immerse, true), "Enter", nil},
		{away(calib.Immerse, true), "7.0 2 Enter", []run.Intent{value(7.02, 2, false)}},
		{away(calib.Immerse, true), "7.02 s", []run.Intent{value(7.02, 2, true)}},
		{away(calib.Ask, true), "c", []run.Intent{take}},
		{away(calib.Done, true), "Enter", []run.Intent{back}},
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
		view run.View
		line string
		want []run.Intent
		says string
	}{
		{waiting(), "k 7.00 4.01", []run.Intent{step(run.CheckOut, "7.00 4.01")}, ""},
		{waiting(), "k stop", nil, "No check is in progress"},
		{away(calib.Immerse, false), "", []run.Intent{step(run.CheckIn, "")}, "k stop ends the check"},
		{away(calib.Immerse, false), "k", nil, "k stop ends it"},
		{away(calib.Settle, false), "k stop", []run.Intent{step(run.CheckStop, "")}, ""},
		{away(calib.Ask, false), "c", []run.Intent{step(run.CheckTake, "")}, ""},
		{away(calib.Done, false), "i", []run.Intent{{Kind: run.WantImmersed}}, "BACK into the beaker"},
		{away(calib.Immerse, true), "7.02", []run.Intent{value(7.02, 2, false)}, ""},
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
