package hand

import (
	"fmt"
	"slices"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// Question is asked before something is recorded. Nothing else is taken until it
// is answered, and no answer records anything that was not said.
type Question struct {
	Words   string
	Choices []choice
	stands  func(view.View) bool // whether there is still what it is about; nil for as long as it is open
	open    string               // an order that is not on record while it is open, given or not
}

// choice is a key that answers a question.
type choice struct {
	Name  string // as printed on the key
	key   string
	Short string
	then  func() Answer
}

// thatOne is beside a key whose number stands before a name in the question.
const thatOne = "that one"

// yesNo is a question for y or n.
func yesNo(words string, yes func() Answer, no string) *Question {
	return &Question{Words: words, Choices: []choice{
		{"y", "y", "yes", yes},
		{"n", "n", "no", func() Answer { return Say("%s", no) }},
	}}
}

// Gone is what is said when a question goes with what it was about.
const Gone = "what was asked about has gone: nothing is recorded"

// Reply answers the question in hand. A key that is no answer leaves it open.
func (h *Hand) Reply(key string) Answer {
	q := h.Question
	i := slices.IndexFunc(q.Choices, func(c choice) bool { return c.key == key })
	if last := len(q.Choices) - 1; i < 0 && (key == "esc" || key == "ctrl+c") {
		i = last // the one that records nothing
	}
	if i < 0 {
		return Sorry("%s", q.Keys())
	}
	h.Question = nil
	return q.Choices[i].then()
}

// Quit leaves the question as Esc does, for a run that is to end: y was the answer to End the
// run? in the mind of one who had pressed q, and recorded the addition that was still asked
// about. It returns the order that stays off the record, given or not; empty for none.
func (h *Hand) Quit() (open string, a Answer) {
	q := h.Question
	if q == nil {
		return "", Answer{}
	}
	return q.open, h.Reply("esc")
}

// reflex is how long, s, an Enter may belong to a question that one key has closed already:
// people end an answer with Enter, and below it there may be an order that they have not read
// yet (a choice).
const reflex = 1.5

// Closed says that a question was closed with a key. An Enter that follows at once is the end
// of that answer and no record of an order.
func (h *Hand) Closed(key string) {
	if key != "enter" {
		h.closed, h.key = h.View.T, key
	}
}

// nothingInHand reports whether Enter would record the order.
func (h *Hand) nothingInHand() bool { return h.Typed == "" && !h.Counting && h.View.Away == nil }

// Keys names the answers.
func (q *Question) Keys() string {
	text := ""
	for i, c := range q.Choices {
		switch {
		case i > 0 && i == len(q.Choices)-1:
			text += " or "
		case i > 0:
			text += ", "
		}
		text += c.Name
		if c.Short != "yes" && c.Short != "no" && c.Short != thatOne {
			text += " (" + c.Short + ")"
		}
	}
	return text
}

// Say is an answer in words.
func Say(format string, a ...any) Answer { return Answer{Say: fmt.Sprintf(format, a...)} }

// Sorry is an answer in words to a key that did nothing.
func Sorry(format string, a ...any) Answer {
	return Answer{Say: phrase.Plain(fmt.Errorf(format, a...)).Error(), Wrong: true}
}
