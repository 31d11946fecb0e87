package tui

import "slices"

// question is asked before something is recorded. Nothing else is taken until it
// is answered, and no answer records anything that was not said.
type question struct {
	words   string
	choices []choice
}

// choice is a key that answers a question.
type choice struct {
	name  string // as printed on the key
	key   string
	short string
	then  func() answer
}

// yesNo is a question for y or n.
func yesNo(words string, yes func() answer, no string) *question {
	return &question{words: words, choices: []choice{
		{"y", "y", "yes", yes},
		{"n", "n", "no", func() answer { return say("%s", no) }},
	}}
}

// reply answers the question in hand. A key that is no answer leaves it open.
func (h *hand) reply(key string) answer {
	q := h.question
	i := slices.IndexFunc(q.choices, func(c choice) bool { return c.key == key })
	if last := len(q.choices) - 1; i < 0 && (key == "esc" || key == "ctrl+c") {
		i = last // the one that records nothing
	}
	if i < 0 {
		return sorry("%s", q.keys())
	}
	h.question = nil
	return q.choices[i].then()
}

// keys names the answers.
func (q *question) keys() string {
	text := ""
	for i, c := range q.choices {
		switch {
		case i > 0 && i == len(q.choices)-1:
			text += " or "
		case i > 0:
			text += ", "
		}
		text += c.name
		if c.short != "yes" && c.short != "no" {
			text += " (" + c.short + ")"
		}
	}
	return text
}
