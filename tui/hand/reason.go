package hand

import (
	"fmt"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
)

// A record says why an addition was withdrawn or corrected in the words of the
// person who did it, and that nothing was said when nothing was.

// notSaid stands in the record where a person gave no reason.
const notSaid = "not said"

// Reasons that are offered, the likeliest first; keys are their numbers from 1.
var (
	undoReasons    = []string{"mis-keyed", "it missed the beaker", "recorded twice"}
	correctReasons = []string{"miscounted", "mis-keyed", "another bottle"}
)

// Brief are words of the row of keys that are shorter where there is little room, so that
// every answer stands beside the others at 60 columns.
var Brief = map[string]string{"it missed the beaker": "it missed", "recorded twice": "twice",
	"nothing given": "nothing", "other amount": "other", "it was given": "given", "other bottle": "bottle", "another bottle": "bottle",
	"electrode was out": "was out", "carry on from here": "carry on", "yes, that is it": "yes", "it is one of them": "one of them",
	"yes, not known how much": "amount unknown", "it was, now put right": "put right"}

// why asks for the reason of a change before it is made.
func (h *Hand) why(words string, reasons []string, in intent.Intent) Answer {
	q := &Question{Words: words}
	with := func(reason string) func() Answer {
		return func() Answer {
			in.Text = reason
			return Answer{Want: &in}
		}
	}
	for i, r := range reasons {
		key := fmt.Sprint(i + 1)
		q.Choices = append(q.Choices, choice{key, key, r, with(r)})
	}
	q.Choices = append(q.Choices,
		choice{"o", "o", "own words", func() Answer { return Answer{Words: &in} }},
		choice{"Enter", "enter", notSaid, with(notSaid)},
		choice{"Esc", "esc", "leave it", func() Answer { return Say("nothing is changed") }})
	h.Question = q
	return Answer{}
}

// Explained is a change with the reason in the person's own words.
func Explained(in intent.Intent, text string) Answer {
	if in.Text = strings.TrimSpace(text); in.Text == "" {
		in.Text = notSaid
	}
	return Answer{Want: &in}
}

// NoteWords ask for what is not on record when the first addition is due.
const NoteWords = "masses and lots are not on record: w notes them"

// Unnoted reports whether the first addition is due, with nothing on record of
// what was weighed.
func Unnoted(v view.View) bool {
	return v.Advice.Do == coach.Add && len(v.Entries) == 0 && len(v.Noted.Weighed)+len(v.Noted.Bottles) == 0
}

// Troubled reports whether the screen has to say something of the line or the record.
func Troubled(v view.View) bool {
	return v.Poor != "" || v.Unused != "" || v.Alarm != "" || v.Note != ""
}
