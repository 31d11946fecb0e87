package hand

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/answers"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/keyrow"
)

// Confirm says that a check was looked at, and that it is as planned. Where there is
// no room it asks for the new mark.
func (h *Hand) Confirm() Answer {
	v := h.View
	switch {
	case v.Away != nil:
		return h.acceptIn()
	case v.Advice.Do != coach.Check:
		return Sorry("there is no CHECK to confirm")
	case v.Falling != nil:
		return Sorry("was it given? Enter: yes; a number: that many; n: nothing")
	case v.Advice.Reason == coach.NoRoom && v.Mark > 0:
		return Answer{Mark: &intent.Intent{Kind: intent.Confirm}}
	}
	return Answer{Want: &intent.Intent{Kind: intent.Confirm}}
}

// Affirm says that what a check names is so; with several named it asks which.
func (h *Hand) Affirm() Answer {
	v := h.View
	named := v.Named()
	switch {
	case v.Advice.Do != coach.Check || v.Falling != nil:
		return Sorry("there is no CHECK that names a cause")
	case len(named) == 0:
		return Sorry("this CHECK names nothing to amend: %s", replies(v))
	}
	var list []string // all of them above the row of keys, which has no room for names
	for i, n := range named {
		list = append(list, fmt.Sprintf("%d: %s", i+1, n[1]))
	}
	q := &Question{Words: "which is it: " + strings.Join(list, "; ") + "? " + follows(named) + "; Esc changes nothing"}
	if len(named) == 1 {
		switch q.Words = "is it so: " + named[0][1] + "?"; {
		case named[0][0] == view.AtFirst:
			q.Words = "is another salt in the beaker?"
		case v.Advice.Reason == coach.Faulty:
			q.Words = "was that it, and has it been put right?"
		}
	}
	for i, n := range named {
		key, short := fmt.Sprint(i+1), thatOne
		if len(named) == 1 {
			key, short = "y", "yes"
		}
		q.Choices = append(q.Choices, choice{key, key, short, func() Answer {
			return Answer{Want: &intent.Intent{Kind: intent.Confirm, Code: n[0]}}
		}})
	}
	q.Choices = append(q.Choices, choice{"Esc", "esc", "leave it", func() Answer { return Say("nothing is changed") }})
	q.stands = func(now view.View) bool {
		return now.Advice.Do == coach.Check && now.Falling == nil && slices.EqualFunc(now.Named(), named, func(a, b [2]string) bool { return a[0] == b[0] })
	}
	h.Question = q
	return Answer{}
}

// follows is what yes to one of those named changes: an addition is put right on record, and
// leaves the plan as it is.
func follows(named [][2]string) string {
	record, plan := false, false
	for _, n := range named {
		if _, counted := answers.Numbered(n[0]); counted {
			record = true
		} else {
			plan = true
		}
	}
	switch {
	case record && plan:
		return "The plan or the record is put right by it"
	case record:
		return "The record is put right by it"
	}
	return "The plan is amended to match"
}

// replies are the answers to the check in sight in words.
func replies(v view.View) string {
	var out []string
	for _, r := range v.Replies() {
		out = append(out, r.Key+" "+r.Short)
	}
	return strings.Join(out, ", ")
}

// ReplyKeys are the answers to the check in sight, then what else there is to do.
func ReplyKeys(v view.View, more ...keyrow.Key) []keyrow.Key {
	var out []keyrow.Key
	for _, r := range v.Replies() {
		out = append(out, keyrow.Key{Name: r.Key, Short: r.Short})
	}
	for _, k := range more {
		if !strings.Contains(" "+replies(v), " "+k.Name+" ") {
			out = append(out, k)
		}
	}
	return out
}

// Withdraw asks what is to be withdrawn where the plan was amended, else why the
// latest addition is.
func (h *Hand) Withdraw() Answer {
	list := h.View.Amended
	if len(list) == 0 {
		return h.undo()
	}
	q := &Question{Words: "what is withdrawn?"}
	if anyGiven(h.View) {
		q.Choices = append(q.Choices, choice{"a", "a", "the latest addition", h.undo})
	}
	q.Choices = append(q.Choices,
		choice{"p", "p", "the amendment: " + list[len(list)-1], func() Answer { return Answer{Want: &intent.Intent{Kind: intent.Unamend}} }},
		choice{"Esc", "esc", "nothing", func() Answer { return Say("nothing is withdrawn") }})
	h.Question = q
	return Answer{}
}

// anyGiven reports whether an addition is in force.
func anyGiven(v view.View) bool {
	return slices.ContainsFunc(v.Entries, func(e view.Entry) bool { return !e.Undone })
}

// Marked is the agreement to a new mark, as it was typed; nothing takes the one that
// is proposed.
func Marked(in intent.Intent, text string) Answer {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(strings.ToLower(text)), "ml"))
	if text == "" {
		return Answer{Want: &in}
	}
	ml, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	if err != nil || !(ml > 0) {
		return Sorry("%q is not a mark in mL; c asks again", text)
	}
	in.ML = ml
	return Answer{Want: &in}
}

// MarkWords ask for a new mark.
func MarkWords(v view.View) string {
	return fmt.Sprintf("new mark in mL, Enter alone for %g", v.Mark)
}
