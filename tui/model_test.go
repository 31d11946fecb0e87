package tui_test

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
)

const (
	naoh  = "NaOH 1 M"
	dilut = "NaOH 0.1 M"
	hcl   = "HCl 0.1 M"
)

// TestSayings: every key that does nothing says what is possible.
func TestSayings(t *testing.T) {
	for _, c := range []struct {
		view       view.View
		keys, says string
	}{
		{waiting(), "Enter", "no addition is advised now; 6 Enter records 6 drops"},
		{advising(6), "Enter Enter", "already being recorded"},
		{advising(6), "t", "recorded as NaOH 0.1 M, which is not the one advised"},
		{advising(6), "t Enter n", "nothing is recorded; back to NaOH 1 M, and t chooses another"},
		{advising(6), "t Enter n 4", "added 4_ drops of NaOH 1 M"},
		{advising(6), "", "Enter added 6 drops  Space"},
		{advising(6), "t", "Enter added 6 drops of NaOH 0.1 M"},
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
		{waiting(), "Q", "Q does nothing here; is Caps Lock on?"},
		{waiting(), "Backspace", "u withdraws the latest addition"},
		{waiting(), "5 q", "not recorded! End the run? y or n"},
		{advising(6), "Space Space Enter", "6 ordered, 2 counted: what is in the beaker?"},
		{advising(6), "Space Space Enter", "Enter the 6 ordered"},
		{advising(6), "Space Space Enter x", "6 ordered, 2 counted"},
		{falling(31, false), "", "ADDING 31 drops of NaOH 1 M"},
		{falling(31, false), "", "Enter all in"},
		{falling(31, true), "", "GIVEN? 31 drops of NaOH 1 M"},
		{falling(31, true), "c", "Enter: yes; a number: that many; n: nothing"},
		{falling(31, false), "t", "Enter all in of NaOH 0.1 M"},
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
	assert.Contains(t, b.screen(), "was it given already: 3 drops of NaOH 1 M?")
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
	b.keys("n")
	later := advising(6)
	later.T, later.Heard = v.T+5, v.Heard
	b.show(later)
	b.keys("Enter")
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
	assert.Regexp(t, `which is it: 1: .*; 2: `, strings.Join(strings.Fields(b.screen()), " "))
}

// TestYesSaysWhatItChanges: an addition that was from another bottle is put right on record,
// and the plan stays as it is; the question promised to amend the plan.
func TestYesSaysWhatItChanges(t *testing.T) {
	asked := func(codes ...string) string {
		return strings.Join(strings.Fields(start(t, suspecting(codes...)).keys("y x").screen()), " ")
	}
	for _, tc := range []struct {
		says  string
		codes []string
	}{
		{"The plan is amended to match; Esc changes nothing", []string{"amount:0.5", "stock:a:2"}},
		{"The plan or the record is put right by it; Esc changes nothing", []string{"kind:a", "bottle:1:HCl 1 M"}},
		{"The record is put right by it; Esc changes nothing", []string{"missed:1", "unlogged:1"}},
	} {
		text := asked(tc.codes...)
		assert.Contains(t, text, tc.says, tc.codes)
		assert.Contains(t, text, "(1, 2 or Esc (leave it))", "a key that is no answer is told the answers, once each")
	}
	assert.Contains(t, start(t, suspecting("amount:0.5", "stock:a:2")).keys("y Esc").screen(), "nothing is changed")
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

// TestPastedLinesStayApart: of several lines that are pasted into a remark the last word of
// one and the first of the next do not become one word, or one number.
func TestPastedLinesStayApart(t *testing.T) {
	b := start(t, advising(6)).keys("r")
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("HCl 1\r\n7 drops\tlot A"), Paste: true})
	b.keys("Enter")
	assert.Equal(t, []intent.Intent{{Kind: intent.Remark, Text: "HCl 1 7 drops lot A"}}, b.wants())
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

// TestAQuestionGoesWhenTheOrderIsBack: it asks for itself then. An order that is only made
// once more does not, such as by a display that stood still meanwhile: who has said Enter would
// be told to give it twice, and the answer would be lost.
func TestAQuestionGoesWhenTheOrderIsBack(t *testing.T) {
	const asked = "was it given already: 6 drops of NaOH 1 M?"
	b := start(t, advising(6))
	b.show(waiting())
	assert.Contains(t, b.keys("Enter").screen(), asked)
	b.show(waiting())
	assert.Contains(t, b.screen(), asked)
	for _, n := range []float64{6, 5} {
		b.show(advising(n))
		assert.Contains(t, b.screen(), asked)
		assert.Contains(t, b.keys("Space").screen(), asked)
	}
	b.show(falling(6, true))
	assert.NotContains(t, b.screen(), asked)
	assert.Equal(t, []intent.Intent{add(naoh, 6)}, b.keys("Enter").wants())
}

// TestAnAnswerStaysWhileItsCheckStays: a CHECK that gives a number of drops says another with
// each reading, and is the same CHECK all the same; what was answered to a key under it stays.
func TestAnAnswerStaysWhileItsCheckStays(t *testing.T) {
	asks := func(drops float64) view.View {
		v := waiting()
		v.Advice.Do, v.Advice.Reason, v.Advice.Drops, v.Titrant = coach.Check, coach.ManyDrops, drops, naoh
		return v
	}
	b := start(t, asks(852)).keys("y")
	assert.Contains(t, b.screen(), "this CHECK names nothing to amend")
	b.show(asks(870))
	assert.Contains(t, b.screen(), "this CHECK names nothing to amend")
	b.show(advising(6))
	assert.NotContains(t, b.screen(), "this CHECK names nothing to amend")
	b.keys("y")
	assert.Contains(t, b.screen(), "there is no CHECK")
	b.show(advising(5))
	assert.NotContains(t, b.screen(), "there is no CHECK", "it is another order")
}

// TestWhyANumberIsNotTaken: the reason is there in whole, however narrow the screen is and
// however long the name of the bottle; a key that seems dead is pressed again.
func TestWhyANumberIsNotTaken(t *testing.T) {
	for _, w := range []int{60, 80, 120} {
		b := start(t, waiting())
		b.send(tea.WindowSizeMsg{Width: w, Height: 24})
		b.keys("1 , 2 , 3 Enter")
		text := strings.Join(strings.Fields(b.screen()), " ")
		assert.Contains(t, text, "added 1.23_ drops of NaOH 1 M (1.23 is not a number of drops: use whole or half drops, or 1.23m for mL)", "%d", w)
		assert.Empty(t, b.wants())
		assert.Equal(t, "added 1.2_ drops of NaOH 1 M", b.keys("Backspace").row("added"))
	}
}

// TestABottleIsChosenForWhatIsInHand: one that was chosen before an order came is not the one
// of that order, or its Enter, or the y after it, would put the wrong bottle on record.
func TestABottleIsChosenForWhatIsInHand(t *testing.T) {
	b := start(t, waiting()).keys("t")
	b.show(advising(6))
	assert.Equal(t, []intent.Intent{add(naoh, 6)}, b.keys("Enter").wants())

	b = start(t, waiting()).keys("7 t")
	b.show(advising(6))
	assert.Equal(t, "added 7_ drops of NaOH 0.1 M (not the one advised)", b.row("added"), "a number in hand keeps its bottle")

	b = start(t, waiting()).keys("t")
	b.show(falling(6, true))
	assert.Contains(t, b.keys("Enter").screen(), "6 drops of NaOH 0.1 M, where NaOH 1 M is ordered?", "what is asked about fell before")

	b = start(t, advising(6)).keys("t")
	b.show(advising(5))
	assert.Contains(t, b.keys("Enter").screen(), "5 drops of NaOH 0.1 M, where NaOH 1 M is ordered?", "it was chosen under an order")

	b = start(t, advising(6)).keys("t")
	b.show(waiting())
	b.show(advising(6))
	assert.Contains(t, b.keys("Enter").screen(), "6 drops of NaOH 0.1 M, where NaOH 1 M is ordered?", "the order is back")
}

// TestTypedThenAnotherBottle: the number stays where it can be seen.
func TestTypedThenAnotherBottle(t *testing.T) {
	b := start(t, advising(6)).keys("7 t")
	assert.Equal(t, "added 7_ drops of NaOH 0.1 M (not the one advised)", b.row("added"))
}
