package tui

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/hand"
	"example.org/halfdrop/tui/keyrow"
)

// binding is a key with what it does. The help and the hints are built from
// the table of them, so that no key can be without words.
type binding struct {
	keys []string // as bubbletea names them, single runes as themselves
	name string   // as printed on the key
	does string   // a sentence for the help
	act  func(m *Model, key string) tea.Cmd
}

// bindings are the keys of a run, in the order of the help.
var bindings = []binding{
	{[]string{"enter"}, "Enter", "record the order, or the amount typed", (*Model).pressEnter},
	{strings.Split("0 1 2 3 4 5 6 7 8 9 . ,", " "), "0-9 .", "drops added, 0.5 is half; mL of a burette", (*Model).pressDigit},
	{[]string{"m"}, "m", "after a number: it is in mL, as in 0.6m", plainKey((*hand.Hand).Millilitres)},
	{[]string{"s"}, "s", "by hand: steady, at the value typed", plainKey((*hand.Hand).Stands)},
	{[]string{"p"}, "p", "by hand, after a number: it is the pH: 7.5p", plainKey((*hand.Hand).Value)},
	{[]string{"C"}, "C", "by hand, after a number: it is in °C: 21.5C", plainKey((*hand.Hand).Degrees)},
	{[]string{" "}, "Space", "a drop falls: count it, also by foot pedal", plainKey((*hand.Hand).Drop)},
	{[]string{"backspace", "delete"}, "Backspace", "delete the last digit or counted drop", plainKey((*hand.Hand).Back)},
	{[]string{"esc"}, "Esc", "clear what is typed or counted", plainKey((*hand.Hand).Clear)},
	{[]string{"t"}, "t", "choose another titrant for what was added", plainKey((*hand.Hand).Cycle)},
	{[]string{"n"}, "n", "nothing of the order was given", plainKey((*hand.Hand).Decline)},
	{[]string{"u"}, "u", "withdraw an addition or amendment; asks why", plainKey((*hand.Hand).Withdraw)},
	{[]string{"e"}, "e", "7e corrects the last to 7; te its titrant", plainKey((*hand.Hand).Correct)},
	{[]string{"c"}, "c", "CHECK: looked, it is as planned; carry on", plainKey((*hand.Hand).Confirm)},
	{[]string{"y"}, "y", "CHECK: yes; the plan or the record follows", plainKey((*hand.Hand).Affirm)},
	{[]string{"g"}, "g", "WAIT: go ahead, with what is safe so far", plainKey((*hand.Hand).GoOn)},
	{[]string{"i"}, "i", "the electrode is in the beaker now", plainKey((*hand.Hand).Immersed)},
	{[]string{"k"}, "k", "check the electrode in standards; carry on", (*Model).pressCheck},
	{[]string{"+"}, "+", "another bottle available: + NaOH 0.1 M Enter", writes(bottling)},
	{[]string{"r"}, "r", "write a remark into the record", writes(remarking)},
	{[]string{"w"}, "w", "put on record a mass, a lot or a name", writes(noting)},
	{[]string{"b"}, "b", "bell at ADD, DONE and CHECK: on or off", (*Model).pressBell},
	{[]string{"?"}, "?", "all keys", (*Model).pressHelp},
	{[]string{"q", "ctrl+c"}, "q", "end the run and close the record; asks first", (*Model).pressQuit},
	{[]string{"ctrl+z"}, "Ctrl-Z", "suspend; fg brings it back", func(*Model, string) tea.Cmd { return tea.Suspend }},
}

// keymap finds a binding by key.
var keymap = func() map[string]*binding {
	m := map[string]*binding{}
	for i := range bindings {
		for _, k := range bindings[i].keys {
			m[k] = &bindings[i]
		}
	}
	return m
}()

// plainKey is a key that only concerns the hand.
func plainKey(f func(*hand.Hand) hand.Answer) func(*Model, string) tea.Cmd {
	return func(m *Model, _ string) tea.Cmd {
		m.take(f(&m.hand))
		return nil
	}
}

// help is all keys for the help screen.
func help() []keyrow.Key {
	var out []keyrow.Key
	for _, b := range bindings {
		out = append(out, keyrow.Key{Name: b.name, Does: b.does})
	}
	return out
}

// hints are the keys worth naming now, the weightiest first; u only where there is
// something to withdraw.
func (m *Model) hints() []keyrow.Key {
	keys := m.useful()
	for i, k := range keys {
		if k.Brief == "" {
			keys[i].Brief = hand.Brief[k.Short]
		}
	}
	if m.hand.NothingGiven() && len(m.hand.View.Amended) == 0 {
		keys = slices.DeleteFunc(keys, func(k keyrow.Key) bool { return k.Name == "u" })
	}
	return keys
}

// offered is what g does: how much of which bottle, for which the sentence above may have no
// room.
func offered(o *view.Offer) keyrow.Key {
	k := keyrow.Key{Name: "g", Short: "go ahead", Brief: "go ahead"}
	if !o.Unsafe && !o.Asks {
		k.Short += ", " + hand.FirstWords(view.Amount(o.Drops, o.Volume)) + " of " + o.Titrant
	}
	return k
}

// useful are the keys of what is going on.
func (m *Model) useful() []keyrow.Key {
	key := func(name, short string) keyrow.Key { return keyrow.Key{Name: name, Short: short} }
	quit, more := key("q", "end"), key("?", "keys")
	switch m.mode {
	case asking:
		return []keyrow.Key{key("y", "end the run"), key("n", "continue")}
	case remarking:
		return []keyrow.Key{key("Enter", "record the remark"), key("Esc", "discard it")}
	case noting:
		return []keyrow.Key{key("Enter", "put it on record"), key("Esc", "discard it")}
	case explaining:
		return []keyrow.Key{key("Enter", "that is why"), key("Esc", "change nothing")}
	case marking:
		return []keyrow.Key{key("Enter", "this mark"), key("Esc", "leave it")}
	case bottling:
		return []keyrow.Key{key("Enter", "use the bottle"), key("Esc", "discard it")}
	case checking:
		return []keyrow.Key{key("Enter", "out of the beaker"), key("Esc", "not now")}
	case ending:
		return nil
	}
	h, v := &m.hand, m.hand.View
	if q := h.Question; q != nil {
		var out []keyrow.Key
		for _, c := range q.Choices {
			out = append(out, key(c.Name, c.Short))
		}
		return out
	}
	switch {
	case h.Typed != "" && h.OfPH():
		return []keyrow.Key{key("s", "it is steady"), key("Enter", "still moving"), key("Esc", "clear"), key("m", "mL"), more}
	case h.Typed != "":
		return []keyrow.Key{key("Enter", "record"), key("Esc", "clear"), key("m", "mL"), key("t", "titrant"), more}
	case v.Falling != nil && v.Falling.Past && !h.Spent():
		return []keyrow.Key{key("0-9", "how many fell"), key("Enter", "all in"), key("n", "nothing given"), more, quit, key("t", "other bottle")}
	case h.Counting && h.AllCounted():
		return []keyrow.Key{key("Enter", "all in"), key("Backspace", "one less"), more, quit, key("Space", "one more"), key("Esc", "clear"), key("n", "nothing given")}
	case h.Counting:
		return []keyrow.Key{key("Space", "next drop"), key("Enter", "all in"), more, quit, key("Backspace", "one less"), key("Esc", "clear"), key("n", "nothing given")}
	case v.Away != nil:
		return append(hand.AwayHints(v), quit)
	case v.Giving != nil:
		return []keyrow.Key{more, quit}
	case v.Falling != nil && v.Falling.Against && !h.Spent():
		return []keyrow.Key{key("Enter", "it was given"), key("t", "other bottle"), key("n", "nothing given"), key("i", "electrode was out"), more, quit, key("0-9", "other amount")}
	case v.Falling != nil && !h.Spent():
		return []keyrow.Key{key("Enter", "all in"+otherBottle(h)), key("n", "nothing given"), key("0-9", "other amount"), key("t", "other bottle"), more, quit, key("Space", "count")}
	case v.Advice.Do == coach.Add && !h.Spent():
		count := key("Space", "count")
		if v.Advice.Drops == 0 {
			count.Short = "begun" // mL are not counted
		}
		return []keyrow.Key{key("Enter", "added "+hand.FirstWords(view.Amount(v.Advice.Drops, v.Advice.Volume))+otherBottle(h)),
			count, key("0-9", "other amount"), more, quit, key("u", "undo"), key("t", "titrant"), key("n", "not given"), key("+", "bottle"), key("r", "remark")}
	case v.Advice.Do == coach.Check:
		return hand.ReplyKeys(v, more, quit, key("u", "undo"), key("i", "electrode is in"), key("r", "remark"), key("0-9", "record an addition"), key("+", "bottle"))
	case v.Offer != nil && v.Next != nil:
		return []keyrow.Key{key("0-9", "what it shows"), key("s", "it is steady"), key("g", "go ahead"), more, quit, key("u", "undo"), key("r", "remark")}
	case v.Offer != nil:
		return []keyrow.Key{offered(v.Offer), more, quit, key("0-9", "record an addition"), key("u", "undo"), key("r", "remark"), key("+", "bottle")}
	case v.Next != nil:
		return []keyrow.Key{key("0-9", "what it shows"), key("s", "it is steady"), more, quit, key("u", "undo"), key("r", "remark"), key("i", "electrode is in"), key("+", "bottle"), key("b", "bell")}
	case v.Advice.Do == coach.Stop:
		return []keyrow.Key{key("q", "end the run"), more, key("r", "remark"), key("u", "undo"), key("0-9", "record an addition")}
	}
	return []keyrow.Key{more, quit, key("0-9", "record an addition"), key("u", "undo"), key("r", "remark"), key("i", "electrode is in"), key("+", "bottle"), key("k", "check in standards"), key("b", "bell")}
}

// otherBottle names the bottle where another one was chosen than that in large letters.
func otherBottle(h *hand.Hand) string {
	if name := h.Titrant(); name != h.View.Titrant {
		return " of " + name
	}
	return ""
}
