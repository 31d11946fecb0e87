package hand

import (
	"fmt"

	"example.org/halfdrop/meter/run/view"
)

// What Enter records: the order, or what was counted of it.

// begins is how many drops an order has at the least for one drop counted to say
// no more than that it begins.
const begins = 4

func (h *Hand) asCounted() Answer {
	n, order := h.counted, h.wanted
	switch {
	case order == 0 || n == order:
		return h.add(n, 0)
	case n == 1 && order >= begins:
		return h.add(order, 0)
	}
	h.Question = &Question{
		Words: fmt.Sprintf("%g ordered, %g counted: what is in the beaker?", order, n),
		Choices: []choice{
			{"Enter", "enter", fmt.Sprintf("the %g ordered", order), func() Answer { return h.add(order, 0) }},
			{"c", "c", fmt.Sprintf("the %g counted", n), func() Answer { return h.add(n, 0) }},
			{"Esc", "esc", "count on", func() Answer { return Say("the count continues") }},
		}}
	return Answer{}
}

func (h *Hand) asOrdered() Answer {
	v := h.View
	switch {
	case h.Spent():
		return Sorry("that is already being recorded")
	case v.Giving != nil:
		return Sorry("the drops are falling; it is recorded when all are in")
	case !h.ordered() && h.offers:
		h.Question = h.stillGiven()
		return Answer{}
	case !h.ordered() && v.ByHand:
		return Sorry("first type what the display shows, such as 7.42; then Enter, or s if it is steady")
	case !h.ordered():
		return Sorry("no addition is advised now; 6 Enter records 6 %s", h.unit())
	case h.other():
		h.Question = yesNo(fmt.Sprintf("%s of %s, where %s is ordered?", amountOf(v), h.Chosen, v.Titrant),
			func() Answer { return h.add(inUnit(v)) }, "")
		h.Question.Choices[1].then = func() Answer { // a bottle that was denied is not the next number's
			h.Chosen = ""
			return Say("nothing is recorded; back to %s, and t chooses another", v.Titrant)
		}
		h.Question.stands = func(now view.View) bool { return asks(now) && now.Titrant == v.Titrant && amountOf(now) == amountOf(v) }
		return Answer{}
	}
	return h.add(inUnit(v))
}

// Unsaid is that an order seems to have been given, by the readings or by what was said, and
// is not on record: a run that ends now would never hold it. Empty where nothing is open.
func (h *Hand) Unsaid() string {
	if v := h.View; v.Falling != nil && v.Silent == "" && !h.Spent() {
		return Unrecorded(amountOf(v) + " of " + v.Titrant)
	}
	return ""
}

// Unrecorded says that an order is not on record, and that nobody has said whether it was given.
func Unrecorded(order string) string { return "Not on record, given or not: " + order }

// amountOf is what was ordered in few words.
func amountOf(v view.View) string { return FirstWords(view.Amount(v.Advice.Drops, v.Advice.Volume)) }

// inUnit is what was ordered in the unit in which it is recorded.
func inUnit(v view.View) (drops, ml float64) {
	if v.Advice.Drops > 0 {
		return v.Advice.Drops, 0
	}
	return 0, v.Advice.Volume.Millilitres()
}

// stillGiven asks about an order that has gone from the screen.
func (h *Hand) stillGiven() *Question {
	old := h.offer
	q := yesNo(fmt.Sprintf("was it given already: %s of %s?", amountOf(old), old.Titrant), func() Answer {
		h.Chosen = old.Titrant
		return h.add(inUnit(old))
	}, "nothing is recorded")
	q.stands = func(now view.View) bool { return now.Falling == nil } // else it asks for itself
	q.open = amountOf(old) + " of " + old.Titrant
	return q
}
