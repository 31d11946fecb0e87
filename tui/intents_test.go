package tui_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui"
)

// TestIntents: what keys lead to, in order.
func TestIntents(t *testing.T) {
	ml := func(name string, ml float64) intent.Intent {
		return intent.Intent{Kind: intent.Add, Titrant: name, ML: ml}
	}
	undo := intent.Intent{Kind: intent.Undo, Text: "mis-keyed"}
	decline := intent.Intent{Kind: intent.Decline}
	counted := func(from, to float64, then ...intent.Intent) []intent.Intent {
		return append(dose(naoh, from, to), then...)
	}
	confirm := intent.Intent{Kind: intent.Confirm}
	yes := func(code string) intent.Intent { return intent.Intent{Kind: intent.Confirm, Code: code} }
	remark := func(text string) intent.Intent { return intent.Intent{Kind: intent.Remark, Text: text} }
	end := func(text string) intent.Intent { return intent.Intent{Kind: intent.End, Text: text} }
	for _, c := range []struct {
		name string
		view view.View
		keys string
		want []intent.Intent
	}{
		{"as advised", advising(6), "Enter", []intent.Intent{add(naoh, 6)}},
		{"as advised in mL is still so many drops", advising(47), "Enter", []intent.Intent{add(naoh, 47)}},
		{"a second Enter does not count twice", advising(6), "Enter Enter Enter", []intent.Intent{add(naoh, 6)}},
		{"nothing is advised", waiting(), "Enter", nil},
		{"nothing is advised at STOP", stopping(), "Enter", nil},
		{"nothing is advised at CHECK", checking(), "Enter", nil},
		{"digits", advising(6), "12 Enter", []intent.Intent{add(naoh, 12)}},
		{"digits while waiting", waiting(), "5 Enter", []intent.Intent{add(naoh, 5)}},
		{"digits twice", advising(6), "4 Enter 2 Enter", []intent.Intent{add(naoh, 4), add(naoh, 2)}},
		{"half a drop", advising(1), "0.5 Enter", []intent.Intent{add(naoh, 0.5)}},
		{"mL", advising(6), "0.6m Enter", []intent.Intent{ml(naoh, 0.6)}},
		{"decimal comma", advising(6), "0,6m Enter", []intent.Intent{ml(naoh, 0.6)}},
		{"backspace", advising(6), "12 Backspace 5 Enter", []intent.Intent{add(naoh, 15)}},
		{"escape, then as advised", advising(6), "12 Esc Enter", []intent.Intent{add(naoh, 6)}},
		{"zero is no amount", advising(6), "0 Enter", nil},
		{"a point is no amount", advising(6), ". Enter", nil},
		{"only m does nothing", advising(6), "m Enter", []intent.Intent{add(naoh, 6)}},
		{"a digit after m is not taken", advising(6), "0.6m5 Enter", []intent.Intent{ml(naoh, 0.6)}},
		{"another titrant", advising(6), "t 3 Enter", []intent.Intent{add(dilut, 3)}},
		{"another titrant is not as advised", advising(6), "t Enter", nil},
		{"round to the titrant advised", advising(6), "ttt Enter", []intent.Intent{add(naoh, 6)}},
		{"the choice of a titrant ends with the addition", advising(6), "tt 3 Enter 4 Enter", []intent.Intent{add(hcl, 3), add(naoh, 4)}},
		{"counted", advising(3), "Space Space Space Enter", counted(1, 3, add(naoh, 3))},
		{"counted, one taken back", advising(2), "Space Space Space Backspace Enter", counted(1, 3, add(naoh, 2))},
		{"counted, then mended", advising(6), "Space Space 5 Enter", counted(1, 2, add(naoh, 5))},
		{"counting goes on from a number", advising(6), "5 Space Enter", counted(6, 6, add(naoh, 6))},
		{"count forgotten", advising(6), "Space Space Esc Enter", counted(1, 2, add(naoh, 6))},
		{"counted to nothing", advising(6), "Space Backspace Enter", counted(1, 1, add(naoh, 6))},
		{"counted of another titrant", advising(6), "t Space Space Enter", []intent.Intent{add(dilut, 2)}},
		{"counted while nothing is ordered", waiting(), "Space Space Enter", []intent.Intent{add(naoh, 2)}},
		{"one drop says that it begins", advising(6), "Space Enter", counted(1, 1, add(naoh, 6))},
		{"one drop of three is a count", advising(3), "Space Enter", counted(1, 1)},
		{"fewer than ordered: the order", advising(6), "Space Space Enter Enter", counted(1, 2, add(naoh, 6))},
		{"fewer than ordered: the count", advising(6), "Space Space Enter c", counted(1, 2, add(naoh, 2))},
		{"fewer than ordered: on", advising(4), "Space Space Enter Esc Space Space Enter", counted(1, 4, add(naoh, 4))},
		{"more than ordered: the count", advising(2), "Space Space Space Enter c", counted(1, 3, add(naoh, 3))},
		{"a question takes nothing else", advising(6), "Space Space Enter x5uq", counted(1, 2)},
		{"while drops fall", falling(31, false), "Enter Enter", []intent.Intent{add(naoh, 31)}},
		{"while drops fall, a number", falling(31, false), "30 Enter", []intent.Intent{add(naoh, 30)}},
		{"while drops fall, from another bottle", falling(31, false), "t Enter y", []intent.Intent{add(dilut, 31)}},
		{"while drops fall, not from another bottle", falling(31, false), "t Enter n", nil},
		{"an order in mL", inML(2.6), "Enter", []intent.Intent{ml(naoh, 2.6)}},
		{"an order in mL begins", inML(2.6), "Space Space Enter", []intent.Intent{{Kind: intent.Dose, Titrant: naoh}, {Kind: intent.Dose, Titrant: naoh}, ml(naoh, 2.6)}},
		{"an order in mL, another amount", inML(2.6), "2.5m Enter", []intent.Intent{ml(naoh, 2.5)}},
		{"nothing was given", falling(31, false), "n", []intent.Intent{decline}},
		{"asked, and it was given", falling(31, true), "Enter", []intent.Intent{add(naoh, 31)}},
		{"asked, and it was another number", falling(31, true), "12 Enter", []intent.Intent{add(naoh, 12)}},
		{"asked, and nothing was given", falling(31, true), "n", []intent.Intent{decline}},
		{"asked, and c is no answer", falling(31, true), "c", nil},
		{"an order that will not be given", advising(6), "n", []intent.Intent{decline}},
		{"nothing to decline", waiting(), "n", nil},
		{"go ahead", offered(), "g", []intent.Intent{{Kind: intent.GoOn}}},
		{"nothing to go on with", waiting(), "g", nil},
		{"the electrode is in", waiting(), "i", []intent.Intent{{Kind: intent.Immersed}}},
		{"another bottle", advising(6), "+ KOH Space 0.1 Space M Enter", []intent.Intent{{Kind: intent.Bottle, Text: "KOH 0.1 M"}}},
		{"no other bottle", advising(6), "+ Enter + KOH Esc", nil},
		{"undo", waiting(), "u1", []intent.Intent{undo}},
		{"undo twice", waiting(), "u1u1", []intent.Intent{undo, undo}},
		{"no undo while typing", waiting(), "5u", nil},
		{"confirm", checking(), "c", []intent.Intent{confirm}},
		{"nothing to confirm", advising(6), "c", nil},
		{"a larger mark as proposed", noRoom(), "c Enter", []intent.Intent{confirm}},
		{"a larger mark", noRoom(), "c 250 Enter", []intent.Intent{{Kind: intent.Confirm, ML: 250}}},
		{"no larger mark", noRoom(), "c 250 Esc", nil},
		{"a mark that is none", noRoom(), "c x Enter", nil},
		{"that is it", suspecting("amount:0.5"), "yy", []intent.Intent{yes("amount:0.5")}},
		{"that is it, and is left", suspecting("amount:0.5"), "y Esc", nil},
		{"it is the second", suspecting("amount:0.5", "stock:a:2", "electrode"), "y2", []intent.Intent{yes("stock:a:2")}},
		{"as planned, whatever it named", suspecting("amount:0.5", "stock:a:2"), "c", []intent.Intent{confirm}},
		{"nothing named", checking(), "yy", nil},
		{"yes to no check", advising(6), "y", nil},
		{"an amendment withdrawn", amended(waiting()), "up", []intent.Intent{{Kind: intent.Unamend}}},
		{"an addition withdrawn beside it", amended(waiting()), "ua1", []intent.Intent{undo}},
		{"neither", amended(waiting()), "u Esc", nil},
		{"remark", waiting(), "r stirred Space harder Enter", []intent.Intent{remark("stirred harder")}},
		{"remark mended", waiting(), "r quick Backspace Backspace Enter 5 Enter", []intent.Intent{remark("qui"), add(naoh, 5)}},
		{"remark forgotten", waiting(), "r uucq Esc", nil},
		{"empty remark", waiting(), "r Space Enter", nil},
		{"end", waiting(), "q y", []intent.Intent{end(tui.LeftUnread)}},
		{"end in tolerance", stopping(), "q y", []intent.Intent{end("in tolerance at 7.32")}},
		{"end by Ctrl-C", waiting(), "Ctrl-C y", []intent.Intent{end(tui.LeftUnread)}},
		{"end by two Ctrl-C", waiting(), "Ctrl-C Ctrl-C", []intent.Intent{end(tui.LeftUnread)}},
		{"not the end", advising(6), "q n Enter Enter", []intent.Intent{add(naoh, 6)}},
		{"a question wants y or n", advising(6), "q 5 Enter Space u Esc", nil},
		{"nothing after the end", advising(6), "qy Enter 5 Enter u", []intent.Intent{end(tui.LeftUnread)}},
		{"Enter in the help records nothing", advising(6), "? Enter", nil},
		{"other keys in the help count", advising(2), "? Space Space Enter", counted(1, 2, add(naoh, 2))},
		{"wrong keys", advising(6), "F1 Up xyzXYZ% é Enter", []intent.Intent{add(naoh, 6)}},
		{"all at once", advising(6), "12uq", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := start(t, c.view).keys(c.keys)
			assert.Equal(t, c.want, b.wants())
		})
	}
}
