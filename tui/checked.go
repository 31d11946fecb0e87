package tui

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/keyrow"
)

// confirm says that a check was looked at, and that it is as planned. Where there is
// no room it asks for the new mark.
func (h *hand) confirm() answer {
	v := h.view
	switch {
	case v.Away != nil:
		return h.acceptIn()
	case v.Advice.Do != coach.Check:
		return sorry("there is no CHECK to confirm")
	case v.Falling != nil:
		return sorry("was it given? Enter: yes; a number: that many; n: nothing")
	case v.Advice.Reason == coach.NoRoom && v.Mark > 0:
		return answer{mark: &run.Intent{Kind: run.WantConfirm}}
	}
	return answer{want: &run.Intent{Kind: run.WantConfirm}}
}

// affirm says that what a check names is so; with several named it asks which.
func (h *hand) affirm() answer {
	v := h.view
	named := v.Named()
	switch {
	case v.Advice.Do != coach.Check || v.Falling != nil:
		return sorry("there is no CHECK that names a cause")
	case len(named) == 0:
		return sorry("this CHECK names nothing to amend: %s", replies(v))
	}
	q := &question{words: "which is it? The plan is amended to match; Esc changes nothing"}
	if len(named) == 1 {
		if q.words = "is it so: " + named[0][1] + "?"; v.Advice.Reason == coach.Faulty {
			q.words = "was that it, and has it been put right?"
		}
	}
	for i, n := range named {
		key, short := fmt.Sprint(i+1), n[1]
		if len(named) == 1 {
			key, short = "y", "yes"
		}
		q.choices = append(q.choices, choice{key, key, short, func() answer {
			return answer{want: &run.Intent{Kind: run.WantConfirm, Code: n[0]}}
		}})
	}
	q.choices = append(q.choices, choice{"Esc", "esc", "leave it", func() answer { return say("nothing is amended") }})
	h.question = q
	return answer{}
}

// replies are the answers to the check in sight in words.
func replies(v run.View) string {
	var out []string
	for _, r := range v.Replies() {
		out = append(out, r.Key+" "+r.Short)
	}
	return strings.Join(out, ", ")
}

// replyKeys are the answers to the check in sight, then what else there is to do.
func replyKeys(v run.View, more ...keyrow.Key) []keyrow.Key {
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

// withdraw asks what is to be withdrawn where the plan was amended, else why the
// latest addition is.
func (h *hand) withdraw() answer {
	list := h.view.Amended
	if len(list) == 0 {
		return h.undo()
	}
	q := &question{words: "what is withdrawn?"}
	if _, ok := latest(h.view); ok {
		q.choices = append(q.choices, choice{"a", "a", "the latest addition", h.undo})
	}
	q.choices = append(q.choices,
		choice{"p", "p", "the amendment: " + list[len(list)-1], func() answer { return answer{want: &run.Intent{Kind: run.WantUnamend}} }},
		choice{"Esc", "esc", "nothing", func() answer { return say("nothing is withdrawn") }})
	h.question = q
	return answer{}
}

// latest is the latest addition in force.
func latest(v run.View) (run.Entry, bool) {
	for i := len(v.Entries) - 1; i >= 0; i-- {
		if !v.Entries[i].Undone {
			return v.Entries[i], true
		}
	}
	return run.Entry{}, false
}

// marked is the agreement to a new mark, as it was typed; nothing takes the one that
// is proposed.
func marked(in run.Intent, text string) answer {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(strings.ToLower(text)), "ml"))
	if text == "" {
		return answer{want: &in}
	}
	ml, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	if err != nil || !(ml > 0) {
		return sorry("%q is not a mark in mL; c asks again", text)
	}
	in.ML = ml
	return answer{want: &in}
}

// markWords ask for a new mark.
func markWords(v run.View) string {
	return fmt.Sprintf("new mark in mL, Enter alone for %g", v.Mark)
}
