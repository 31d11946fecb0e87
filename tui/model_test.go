package tui_test

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui"
)

const (
	naoh  = "NaOH 1 M"
	dilut = "NaOH 0.1 M"
	hcl   = "HCl 0.1 M"
)

// TestIntents: what keys lead to, in order.
func TestIntents(t *testing.T) {
	ml := func(name string, ml float64) run.Intent {
		return run.Intent{Kind: run.WantAdd, Titrant: name, ML: ml}
	}
	undo := run.Intent{Kind: run.WantUndo, Text: "mis-keyed"}
	confirm := run.Intent{Kind: run.WantConfirm}
	remark := func(text string) run.Intent { return run.Intent{Kind: run.WantRemark, Text: text} }
	end := func(text string) run.Intent { return run.Intent{Kind: run.WantEnd, Text: text} }
	for _, c := range []struct {
		name string
		view run.View
		keys string
		want []run.Intent
	}{
		{"as advised", advising(6), "Enter", []run.Intent{add(naoh, 6)}},
		{"as advised in mL is still so many drops", advising(47), "Enter", []run.Intent{add(naoh, 47)}},
		{"a second Enter does not count twice", advising(6), "Enter Enter Enter", []run.Intent{add(naoh, 6)}},
		{"nothing is advised", waiting(), "Enter", nil},
		{"nothing is advised at STOP", stopping(), "Enter", nil},
		{"nothing is advised at CHECK", checking(), "Enter", nil},
		{"digits", advising(6), "12 Enter", []run.Intent{add(naoh, 12)}},
		{"digits while waiting", waiting(), "5 Enter", []run.Intent{add(naoh, 5)}},
		{"digits twice", advising(6), "4 Enter 2 Enter", []run.Intent{add(naoh, 4), add(naoh, 2)}},
		{"half a drop", advising(1), "0.5 Enter", []run.Intent{add(naoh, 0.5)}},
		{"mL", advising(6), "0.6m Enter", []run.Intent{ml(naoh, 0.6)}},
		{"decimal comma", advising(6), "0,6m Enter", []run.Intent{ml(naoh, 0.6)}},
		{"backspace", advising(6), "12 Backspace 5 Enter", []run.Intent{add(naoh, 15)}},
		{"escape, then as advised", advising(6), "12 Esc Enter", []run.Intent{add(naoh, 6)}},
		{"zero is no amount", advising(6), "0 Enter", nil},
		{"a point is no amount", advising(6), ". Enter", nil},
		{"only m does nothing", advising(6), "m Enter", []run.Intent{add(naoh, 6)}},
		{"a digit after m is not taken", advising(6), "0.6m5 Enter", []run.Intent{ml(naoh, 0.6)}},
		{"another titrant", advising(6), "t 3 Enter", []run.Intent{add(dilut, 3)}},
		{"another titrant is not as advised", advising(6), "t Enter", nil},
		{"round to the titrant advised", advising(6), "ttt Enter", []run.Intent{add(naoh, 6)}},
		{"the choice of a titrant ends with the addition", advising(6), "tt 3 Enter 4 Enter", []run.Intent{add(hcl, 3), add(naoh, 4)}},
		{"counted", advising(6), "Space Space Space Enter", []run.Intent{add(naoh, 3)}},
		{"counted, one taken back", advising(6), "Space Space Space Backspace Enter", []run.Intent{add(naoh, 2)}},
		{"counted, then mended", advising(6), "Space Space 5 Enter", []run.Intent{add(naoh, 5)}},
		{"counting goes on from a number", advising(6), "4 Space Enter", []run.Intent{add(naoh, 5)}},
		{"count forgotten", advising(6), "Space Space Esc Enter", []run.Intent{add(naoh, 6)}},
		{"counted to nothing", advising(6), "Space Backspace Enter", []run.Intent{add(naoh, 6)}},
		{"counted of another titrant", advising(6), "t Space Space Enter", []run.Intent{add(dilut, 2)}},
		{"undo", waiting(), "u", []run.Intent{undo}},
		{"undo twice", waiting(), "uu", []run.Intent{undo, undo}},
		{"no undo while typing", waiting(), "5u", nil},
		{"confirm", checking(), "c", []run.Intent{confirm}},
		{"nothing to confirm", advising(6), "c", nil},
		{"remark", waiting(), "r stirred Space harder Enter", []run.Intent{remark("stirred harder")}},
		{"remark mended", waiting(), "r quick Backspace Backspace Enter 5 Enter", []run.Intent{remark("qui"), add(naoh, 5)}},
		{"remark forgotten", waiting(), "r uucq Esc", nil},
		{"empty remark", waiting(), "r Space Enter", nil},
		{"end", waiting(), "q y", []run.Intent{end(tui.Left)}},
		{"end in tolerance", stopping(), "q y", []run.Intent{end("in tolerance at 7.32")}},
		{"end by Ctrl-C", waiting(), "Ctrl-C y", []run.Intent{end(tui.Left)}},
		{"end by two Ctrl-C", waiting(), "Ctrl-C Ctrl-C", []run.Intent{end(tui.Left)}},
		{"not the end", advising(6), "q n Enter", []run.Intent{add(naoh, 6)}},
		{"a question wants y or n", advising(6), "q 5 Enter Space u Esc", nil},
		{"nothing after the end", advising(6), "qy Enter 5 Enter u", []run.Intent{end(tui.Left)}},
		{"Enter in the help records nothing", advising(6), "? Enter", nil},
		{"other keys in the help count", advising(6), "? Space Space Enter", []run.Intent{add(naoh, 2)}},
		{"wrong keys", advising(6), "F1 Up xyzXYZ% é Enter", []run.Intent{add(naoh, 6)}},
		{"all at once", advising(6), "12uq", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := start(t, c.view).keys(c.keys)
			assert.Equal(t, c.want, b.wants())
		})
	}
}

// TestSayings: every key that does nothing says what is possible.
func TestSayings(t *testing.T) {
	for _, c := range []struct {
		view       run.View
		keys, says string
	}{
		{waiting(), "Enter", "no addition is advised now; 6 Enter records 6 drops"},
		{advising(6), "Enter Enter", "being recorded already"},
		{advising(6), "t", "recorded as NaOH 0.1 M, which is not the one advised"},
		{advising(6), "t Enter", "NaOH 1 M is advised, NaOH 0.1 M chosen: type the amount"},
		{advising(6), "0 Enter", "(0 is no amount)"},
		{advising(6), "m", "m goes after a number"},
		{advising(6), "1.2.", "(one point is enough)"},
		{advising(6), "12345678", "(too long)"},
		{advising(6), "0.3m Space", "(Enter or Esc first, then count)"},
		{waiting(), "c", "no CHECK to confirm"},
		{waiting(), "x", "x does nothing here; ? shows all keys"},
		{waiting(), "Backspace", "u withdraws the latest addition"},
		{waiting(), "5 q", "not recorded! End the run? y or n"},
		{stopping(), "q", "The aim is reached. End the run? y or n"},
		{waiting(), "r abc", "remark: abc_"},
		{advising(6), "12", "added 12_ drops of NaOH 1 M"},
		{advising(6), "0.6m", "added 0.6_ mL of NaOH 1 M"},
		{advising(6), "b", "bell on"},
		{advising(6), "b5", "bell on · 21 °C as planned"},
	} {
		b := start(t, c.view).keys(c.keys)
		assert.Contains(t, b.screen(), c.says, c.keys)
	}
}

// TestCountdown: the drops left stand in the sentence, STOP comes at the last.
func TestCountdown(t *testing.T) {
	b := start(t, advising(3)).keys("Space")
	assert.Contains(t, b.screen(), "ADD 2 more drops of NaOH 1 M")
	// the first drop moves the reading, and the advice with it
	b.show(waiting())
	b.keys("Space")
	assert.Contains(t, b.screen(), "ADD 1 more drop of NaOH 1 M")
	b.keys("Space")
	assert.Contains(t, b.screen(), "STOP, that was drop 3 of 3 of NaOH 1 M")
	b.keys("Space")
	assert.Contains(t, b.screen(), "STOP, 4 drops of NaOH 1 M, 1 too many")
	b.keys("Backspace Enter")
	assert.Equal(t, []run.Intent{add(naoh, 3)}, b.wants())
}

// TestCountAfterDoseMoved: drops that are counted only when the reading has
// moved already are counted against the advice that they followed.
func TestCountAfterDoseMoved(t *testing.T) {
	b := start(t, advising(3))
	b.show(waiting())
	assert.Contains(t, b.keys("Enter").screen(), "Gave the 3 drops of NaOH 1 M? 3 Enter")
	assert.Contains(t, b.keys("Space").screen(), "ADD 2 more drops")
}

// TestSpent: after Enter the advice counts again once the run has answered.
func TestSpent(t *testing.T) {
	b := start(t, advising(6)).keys("Enter")
	b.show(advising(6)) // the run has not got to it yet
	b.keys("Enter")
	assert.Len(t, b.wants(), 1)
	next := advising(2)
	next.Entries = []run.Entry{{Seq: 5, Drops: 6, Volume: 3e-4}}
	next.Noticed, next.Notice = 1, "recorded: 6 drops of NaOH 1 M"
	b.show(next)
	assert.Equal(t, "recorded: 6 drops of NaOH 1 M", b.row("recorded:"))
	b.keys("Enter")
	assert.Equal(t, []run.Intent{add(naoh, 6), add(naoh, 2)}, b.wants())
}

// TestRefused: an addition that the run refused may be sent again.
func TestRefused(t *testing.T) {
	b := start(t, advising(6)).keys("Enter")
	v := advising(6)
	v.Noticed, v.Notice, v.Failed = 1, "run: not recorded, so it does not count", true
	b.show(v)
	b.keys("Enter")
	assert.Len(t, b.wants(), 2)
}

// TestThousandKeys: no press is lost when a thousand come at once.
func TestThousandKeys(t *testing.T) {
	b := start(t, advising(6))
	for range 1000 {
		b.keys("Space")
	}
	b.keys("Enter")
	assert.Equal(t, []run.Intent{add(naoh, 1000)}, b.wants())

	b = start(t, waiting())
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(strings.Repeat("u", 1000))})
	assert.Len(t, b.wants(), 1000)

	b = start(t, waiting())
	b.keys("r")
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(strings.Repeat("abcdefghij", 40))})
	b.keys("Enter")
	assert.Equal(t, strings.Repeat("abcdefghij", 40), b.wants()[0].Text)

	b = start(t, waiting())
	for range 250 {
		b.keys("7u2 Enter")
	}
	var want []run.Intent
	for range 250 {
		want = append(want, add(naoh, 72))
	}
	assert.Equal(t, want, b.wants(), "joined with keys that do nothing")
}

func TestPasteIsNotTyping(t *testing.T) {
	b := start(t, advising(6))
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("12\nqy"), Paste: true})
	b.keys("Enter")
	assert.Equal(t, []run.Intent{add(naoh, 6)}, b.wants())
}

func TestEnds(t *testing.T) {
	b := start(t, stopping()).keys("q y")
	assert.Contains(t, b.screen(), "closing the record")
	assert.False(t, b.quit, "the run must have closed the record first")
	v := stopping()
	v.Outcome = "in tolerance at 7.32"
	b.show(v)
	assert.True(t, b.quit)

	b = start(t, waiting())
	close(b.views)
	b.send(b.m.Init()())
	assert.True(t, b.quit, "a run that is over ends the program")
}

// TestResize: any size at any moment.
func TestResize(t *testing.T) {
	b := start(t, advising(6))
	for _, s := range [][2]int{{1, 1}, {0, 0}, {200, 60}, {59, 19}, {80, 24}} {
		b.send(tea.WindowSizeMsg{Width: s[0], Height: s[1]})
		rows := strings.Split(b.screen(), "\n")
		assert.LessOrEqual(t, len(rows), max(s[1], 1))
	}
	assert.Contains(t, b.screen(), "ADD 6 drops of NaOH 1 M")
}
