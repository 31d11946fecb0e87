package tui

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// TestEveryKeyIsDescribed: the help is built from the table of keys, and no
// key stands there twice or without words.
func TestEveryKeyIsDescribed(t *testing.T) {
	seen := map[string]string{}
	for i, b := range bindings {
		assert.NotEmpty(t, b.keys, i)
		assert.NotEmpty(t, b.name, i)
		assert.NotEmpty(t, b.does, b.name)
		assert.LessOrEqual(t, len(b.does), 45, "%s: fits beside the key at 60 columns", b.name)
		assert.NotNil(t, b.act, b.name)
		for _, k := range b.keys {
			assert.Empty(t, seen[k], "%q stands for two things", k)
			seen[k] = b.name
		}
		assert.Equal(t, b.name, help()[i].Name)
		assert.Equal(t, b.does, help()[i].Does)
	}
}

// TestHints: every key named under the screen does something.
func TestHints(t *testing.T) {
	known := map[string]bool{"y": true, "n": true} // of the question
	for _, b := range bindings {
		known[b.name] = true
	}
	known["0-9"] = true
	for _, md := range []mode{running, remarking, asking, helping, ending} {
		for _, do := range []coach.Action{coach.Wait, coach.Add, coach.Stop, coach.Check} {
			for _, typed := range []string{"", "6"} {
				m := &Model{mode: md}
				m.hand.View.Advice.Do, m.hand.Typed, m.hand.Counting = do, typed, typed == "" && do == coach.Stop
				for _, k := range m.hints() {
					assert.True(t, known[k.Name], k.Name)
					assert.NotEmpty(t, k.Short)
				}
			}
		}
	}
}

// TestPlainRefusesInSentences: what the run refuses is a sentence, like all that is said
// besides.
func TestPlainRefusesInSentences(t *testing.T) {
	for raw, said := range map[string]string{"more than a hundred times what the vessel holds": "More than a hundred times what the vessel holds.",
		"is it in?": "Is it in?", "No such bottle.": "No such bottle."} {
		assert.Equal(t, said, sentence(raw))
	}
}

// TestUndoIsNamedOnceThereIsSomething: the row of keys has u only where there is something
// to withdraw.
func TestUndoIsNamedOnceThereIsSomething(t *testing.T) {
	for _, do := range []coach.Action{coach.Wait, coach.Add, coach.Stop, coach.Check} {
		named := func(v view.View) bool {
			v.Advice.Do = do
			m := &Model{}
			m.hand.See(v)
			return slices.ContainsFunc(m.hints(), func(k keyrow.Key) bool { return k.Name == "u" })
		}
		assert.False(t, named(view.View{}), do)
		assert.False(t, named(view.View{Entries: []view.Entry{{Drops: 3, Undone: true}}}), do)
		assert.True(t, named(view.View{Entries: []view.Entry{{Drops: 3}}}), do)
		assert.True(t, named(view.View{Amended: []string{"twice as strong"}}), do)
	}
}

// TestLeavingADetermination: a run that is for an amount has an answer, not an aim, and
// mL are not counted.
func TestLeavingADetermination(t *testing.T) {
	m := &Model{}
	m.hand.View.Found = &view.Finding{}
	assert.Equal(t, "End the run before its answer is known? y or n", m.question())
	m.hand.View.Advice.Do = coach.Stop
	assert.Equal(t, "The answer is known. End the run? y or n", m.question())
	m.hand.View.Advice.Do, m.hand.View.Advice.Volume = coach.Add, 2e-3
	assert.Contains(t, m.hints(), keyrow.Key{Name: "Space", Short: "begun"})
}

// TestReasonsFitTheRow: the reasons for a withdrawal stand in 60 columns, with own words and
// the way out.
func TestReasonsFitTheRow(t *testing.T) {
	m := &Model{}
	m.hand.See(view.View{Entries: []view.Entry{{Drops: 3}}})
	m.hand.Withdraw()
	assert.Equal(t, "1 mis-keyed  2 it missed  3 twice  o own words  Esc leave it", fitted(m, 60)) // Enter says nothing more than that
	assert.Contains(t, fitted(m, 120), "2 it missed the beaker  3 recorded twice")
}

// TestNoNextDropOfWhatHasGonePast: where the screen says to stop, no key is named that counts
// another drop, and the one that says how many fell is the first.
func TestNoNextDropOfWhatHasGonePast(t *testing.T) {
	for _, counting := range []bool{false, true} {
		m := &Model{mode: running}
		m.hand.Counting = counting
		m.hand.View.Advice.Do, m.hand.View.Advice.Reason = coach.Check, coach.Unsaid
		m.hand.View.Falling = &view.Falling{Since: 1, Asks: true, Past: true}
		keys := m.hints()
		assert.Equal(t, keyrow.Key{Name: "0-9", Short: "how many fell"}, keys[0])
		assert.False(t, slices.ContainsFunc(keys, func(k keyrow.Key) bool { return k.Name == "Space" }))
		m.hand.Typed = "6" // what is typed is said as ever
		assert.Equal(t, "Enter", m.hints()[0].Name)
	}
}

// TestEveryAnswerStandsInTheRow: what a CHECK can be answered is on the screen at 60 columns,
// whole or in fewer words.
func TestEveryAnswerStandsInTheRow(t *testing.T) {
	ask := func(r coach.Reason, codes ...string) *Model {
		m := &Model{mode: running}
		m.hand.View.Advice.Do, m.hand.View.Advice.Reason, m.hand.View.Titrants = coach.Check, r, []string{"NaOH 1 M"}
		m.hand.View.Entries = []view.Entry{{Drops: 3}}
		for _, c := range codes {
			m.hand.View.Advice.Mistakes = append(m.hand.View.Advice.Mistakes, coach.Mistake{Code: c})
		}
		m.hand.See(m.hand.View)
		return m
	}
	var all []*Model
	for _, q := range view.Questions {
		if r := coach.ReasonOf(q.Of); r != coach.NoReading && r != coach.Unsaid {
			all = append(all, ask(r))
		} else {
			all = append(all, ask(coach.Mistaken, q.Of+":1"))
		}
	}
	all = append(all, ask(coach.Mistaken, "amount:0.5", "stock:NaOH 1 M:2"))
	for _, m := range all {
		for _, r := range m.hand.View.Replies() {
			for _, columns := range []int{60, 78, 118} {
				assert.Regexp(t, "(^|  )"+regexp.QuoteMeta(r.Key)+" ", fitted(m, columns), m.hand.View.Question().Of)
			}
		}
	}
	for _, f := range []view.Falling{{Against: true}, {Past: true}, {Asks: true}} {
		m := ask(coach.Unsaid)
		m.hand.View.Falling = &f
		keys := map[bool]string{true: "Enter t n i", false: "Enter n 0-9 t"}[f.Against]
		if f.Past {
			keys = "0-9 Enter n"
		}
		for _, k := range strings.Fields(keys) {
			assert.Regexp(t, "(^|  )"+k+" ", fitted(m, 60), "%+v", f)
		}
	}
}

// fitted is the row of keys as it stands in a number of columns.
func fitted(m *Model, columns int) string {
	m.w = columns
	s := widget.NewSheet(columns, 1)
	keyrow.Draw(s, widget.Rect{W: columns, H: 1}, m.hints(), &widget.Unicode)
	return s.Painted()
}

// TestAnotherAmountIsNamedInSixtyColumns: the sentence says that a number may be typed.
func TestAnotherAmountIsNamedInSixtyColumns(t *testing.T) {
	for _, falling := range []*view.Falling{nil, {Since: 1}} {
		m := &Model{mode: running}
		m.hand.View.Advice = coach.Advice{Do: coach.Add, Drops: 53, Volume: 2.65e-3}
		m.hand.View.Falling = falling
		for _, columns := range []int{60, 80, 120} {
			row := fitted(m, columns)
			assert.Contains(t, row, "0-9 other", columns)
			assert.Contains(t, row, "q end", columns)
		}
	}
}

// TestTheOfferNamesItsBottle: the sentence may be cut before it, so the key says it.
func TestTheOfferNamesItsBottle(t *testing.T) {
	m := &Model{mode: running}
	m.hand.View.Offer = &view.Offer{Titrant: "HCl 0.1 M", Drops: 53, Volume: 2.65e-3}
	for _, columns := range []int{60, 80, 120} {
		assert.Contains(t, fitted(m, columns), "g go ahead, 53 drops of HCl 0.1 M  ? keys  q end", columns)
	}
	m.hand.View.Offer.Titrant = strings.Repeat("a long name ", 8)
	assert.Contains(t, fitted(m, 60), "g go ahead  ? keys")
	for _, o := range []view.Offer{{Unsafe: true}, {Asks: true}} {
		m.hand.View.Offer = &o
		assert.Contains(t, fitted(m, 60), "g go ahead  ? keys")
	}
}
