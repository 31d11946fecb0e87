package tui_test

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui"
)

const (
	naoh  = "NaOH 1 M"
	dilut = "NaOH 0.1 M"
	hcl   = "HCl 0.1 M"
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
		{"not the end", advising(6), "q n Enter", []intent.Intent{add(naoh, 6)}},
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

// TestSayings: every key that does nothing says what is possible.
func TestSayings(t *testing.T) {
	for _, c := range []struct {
		view       view.View
		keys, says string
	}{
		{waiting(), "Enter", "no addition is advised now; 6 Enter records 6 drops"},
		{advising(6), "Enter Enter", "already being recorded"},
		{advising(6), "t", "recorded as NaOH 0.1 M, which is not the one advised"},
		{advising(6), "t Enter", "6 drops of NaOH 0.1 M, where NaOH 1 M is ordered?"},
		{advising(6), "0 Enter", "(0 is not an amount)"},
		{advising(6), "m", "m goes after a number"},
		{advising(6), "1.2.", "(one point is enough)"},
		{advising(6), "12345678", "(too long)"},
		{advising(6), "0.3m Space", "(Enter or Esc first, then count)"},
		{waiting(), "c", "no CHECK to confirm"},
		{waiting(), "g", "nothing is held back now"},
		{advising(6), "g", "the order stands and can be given"},
		{offered(), "", "g go ahead"},
		{waiting(), "x", "x does nothing here; ? shows all keys"},
		{waiting(), "Backspace", "u withdraws the latest addition"},
		{waiting(), "5 q", "not recorded! End the run? y or n"},
		{advising(6), "Space Space Enter", "6 ordered, 2 counted: what is in the beaker?"},
		{advising(6), "Space Space Enter", "Enter the 6 ordered"},
		{advising(6), "Space Space Enter x", "6 ordered, 2 counted"},
		{falling(31, false), "", "ADDING 31 drops of NaOH 1 M"},
		{falling(31, false), "", "Enter all in"},
		{falling(31, true), "", "GIVEN? 31 drops of NaOH 1 M"},
		{falling(31, true), "c", "Enter: yes; a number: that many; n: nothing"},
		{falling(31, false), "t Enter", "31 drops of NaOH 0.1 M, where NaOH 1 M is ordered?"},
		{waiting(), "n", "nothing is ordered now"},
		{waiting(), "+ KO", "bottle available: KO_"},
		{waiting(), "+", "bottle available, as in NaOH 0.1 M, bottle B7: _"},
		{waiting(), "r stirred Esc", "nothing is recorded; r has these words again"},
		{waiting(), "r stirred Esc r", "remark: stirred_"},
		{waiting(), "r stirred Esc w lot Esc r Space harder", "remark: stirred harder_"},
		{waiting(), "w lot Esc r Esc w", "on record: lot_"},
		{waiting(), "+ KOH Esc + Esc +", "bottle available: KOH_"},
		{waiting(), "r stirred Enter r", "remark: _"},
		{waiting(), "w Tris3.029glotA17ofthesecondshelfofthecoldroomwiththebluelidandatornlabel,openedinMayorsothelast", "orsothelast_"},
		{waiting(), "+ Enter", "no bottle was named"},
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
	wants := b.wants()
	assert.Equal(t, add(naoh, 3), wants[len(wants)-1])
}

// TestOrderThatHasGone: drops of an order that was overtaken while they fell are
// counted against it, and Enter asks whether it was given.
func TestOrderThatHasGone(t *testing.T) {
	b := start(t, advising(3))
	b.show(waiting())
	assert.Contains(t, b.keys("Space").screen(), "ADD 2 more drops")
	b.keys("Esc Enter")
	assert.Contains(t, b.screen(), "was it given: 3 drops of NaOH 1 M, no longer ordered?")
	b.keys("Enter 5") // neither is an answer
	assert.Empty(t, b.wants())
	b.keys("y")
	assert.Equal(t, []intent.Intent{add(naoh, 3)}, b.wants())
	assert.Contains(t, b.keys("Enter").screen(), "already being recorded")
}

// TestDoubted: an amount that the run asks about is recorded after y only.
func TestDoubted(t *testing.T) {
	b := start(t, advising(6)).keys("99999 Enter")
	v := advising(6)
	v.Heard = b.latest()
	in := add(naoh, 99999)
	in.ID = b.latest()
	v.Answers = []intent.Answer{{To: in, Text: "99999 drops of NaOH 1 M: there is room for 50 mL", Failed: true, Asks: true}}
	b.show(v)
	assert.Contains(t, b.screen(), "there is room for 50 mL. Record it?")
	b.keys("Enter 5")
	assert.Len(t, b.wants(), 1)
	b.keys("n Enter")
	assert.Equal(t, []intent.Intent{add(naoh, 99999), add(naoh, 6)}, b.wants())
	v.Heard = b.latest()
	b.show(v)
	b.keys("y")
	sure := add(naoh, 99999)
	sure.Sure = true
	assert.Equal(t, sure, b.wants()[2])
}

// TestAnswersBesideEachOther: a refusal shows though something was done after it,
// and no answer is needed for a key to work again.
func TestAnswersBesideEachOther(t *testing.T) {
	b := start(t, advising(6)).keys("Enter")
	v := advising(6)
	v.Heard = b.latest()
	v.Answers = []intent.Answer{{Text: "remark recorded"}, {Text: "no such titrant", Failed: true}}
	b.show(v)
	assert.Contains(t, b.screen(), "no such titrant · remark recorded")
	b = start(t, advising(6)).keys("Enter")
	v.Heard, v.Answers = b.latest(), nil // the answer was lost on the way
	b.show(v)
	b.keys("Enter")
	assert.Len(t, b.wants(), 2)
}

// TestSpent: after Enter the advice counts again once the run has answered.
func TestSpent(t *testing.T) {
	b := start(t, advising(6)).keys("Enter")
	b.show(advising(6)) // the run has not got to it yet
	b.keys("Enter")
	assert.Len(t, b.wants(), 1)
	next := advising(2)
	next.Entries = []view.Entry{{Seq: 5, Drops: 6, Volume: 3e-4}}
	next.Heard, next.Answers = b.latest(), []intent.Answer{{Text: "recorded: 6 drops of NaOH 1 M"}}
	b.show(next)
	assert.Equal(t, "recorded: 6 drops of NaOH 1 M", b.row("recorded:"))
	b.keys("Enter")
	assert.Equal(t, []intent.Intent{add(naoh, 6), add(naoh, 2)}, b.wants())
}

// TestRefused: an addition that the run refused may be sent again.
func TestRefused(t *testing.T) {
	b := start(t, advising(6)).keys("Enter")
	v := advising(6)
	v.Heard, v.Answers = b.latest(), []intent.Answer{{Text: "run: not recorded, so it does not count", Failed: true}}
	b.show(v)
	assert.Contains(t, b.screen(), "not recorded, so it does not count")
	b.keys("Enter")
	assert.Len(t, b.wants(), 2)
}

// TestARefusalGoesWithWhatItWasAbout: it stood under the next order for minutes.
func TestARefusalGoesWithWhatItWasAbout(t *testing.T) {
	b := start(t, view.View{Titrants: []string{naoh}, HasReading: true, PH: 6}).keys("Enter")
	assert.Contains(t, b.screen(), "no addition is advised now")
	b.show(advising(6))
	assert.NotContains(t, b.screen(), "no addition is advised now")
	b.keys("+ x Esc")
	assert.Contains(t, b.screen(), "nothing is recorded; + has these words again")
	b.show(waiting())
	assert.NotContains(t, b.screen(), "has these words again", "nor does another answer stay for minutes")
}

// TestBothCausesAreOnTheScreen: the second was cut away at 80 columns.
func TestBothCausesAreOnTheScreen(t *testing.T) {
	b := start(t, suspecting("amount:0.5", "stock:a:2")).keys("y")
	assert.Regexp(t, `which is it: 1 .*2 `, strings.Join(strings.Fields(b.screen()), " "))
}

// TestThousandKeys: no press is lost when a thousand come at once.
func TestThousandKeys(t *testing.T) {
	b := start(t, advising(6))
	for range 1000 {
		b.keys("Space")
	}
	b.keys("Enter c")
	assert.Equal(t, append(dose(naoh, 1, 1000), add(naoh, 1000)), b.wants())

	b = start(t, waiting())
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(strings.Repeat("u1", 1000))})
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
	var want []intent.Intent
	for range 250 {
		want = append(want, add(naoh, 72))
	}
	assert.Equal(t, want, b.wants(), "joined with keys that do nothing")
}

func TestPasteIsNotTyping(t *testing.T) {
	b := start(t, advising(6))
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("12\nqy"), Paste: true})
	b.keys("Enter")
	assert.Equal(t, []intent.Intent{add(naoh, 6)}, b.wants())
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

// TestAQuestionGoesWithItsCheck: while one about a CHECK was open, another CHECK came, and
// its keys were dead without a word.
func TestAQuestionGoesWithItsCheck(t *testing.T) {
	b := start(t, suspecting("stuck:1")).keys("y")
	assert.Contains(t, b.screen(), "is it so: name of stuck:1?")
	b.show(suspecting("stuck:1"))
	assert.Contains(t, b.keys("c").screen(), "▲ is it so: name of stuck:1? (y or Esc (leave it))")
	b.show(suspecting("missed:2"))
	assert.Contains(t, b.screen(), "what was asked about has gone: nothing is recorded")
	b.keys("c")
	assert.Equal(t, []intent.Intent{{Kind: intent.Confirm}}, b.wants())
}

// TestAQuestionGoesWhenTheOrderIsBack: it asks for itself then.
func TestAQuestionGoesWhenTheOrderIsBack(t *testing.T) {
	b := start(t, advising(6))
	b.show(waiting())
	assert.Contains(t, b.keys("Enter").screen(), "no longer ordered?")
	b.show(waiting())
	assert.Contains(t, b.screen(), "no longer ordered?")
	b.show(falling(6, true))
	assert.NotContains(t, b.screen(), "no longer ordered?")
	assert.Equal(t, []intent.Intent{add(naoh, 6)}, b.keys("Enter").wants())
}

// TestTypedThenAnotherBottle: the number stays where it can be seen.
func TestTypedThenAnotherBottle(t *testing.T) {
	b := start(t, advising(6)).keys("7 t")
	assert.Equal(t, "added 7_ drops of NaOH 0.1 M (not the one advised)", b.row("added"))
}
