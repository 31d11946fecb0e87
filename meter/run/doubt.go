package run

import (
	"errors"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/view"
)

// ErrNoOrder is the error of what is about an order while none stands.
var ErrNoOrder = errors.New("nothing is ordered now")

// Doubt says what makes no sense about an addition, nil when nothing does.
// instead is the addition that it takes the place of.
func (s State) Doubt(a journal.Addition, instead *view.Entry) *given.Doubt {
	if instead != nil {
		return s.entries.Doubt(s.Setup, a, given.Case{Instead: instead.Seq, ByHand: s.byHand})
	}
	return s.entries.Doubt(s.Setup, a, given.Case{Order: s.order.advice, ByHand: s.byHand})
}

// CanDose reports whether there is an order that drops can fall of.
func (s State) CanDose() error {
	if s.order.advice == nil {
		return ErrNoOrder
	}
	return nil
}

// Dated is an addition with the time of its first movement, as far as somebody
// said so or the readings show it.
func (s State) Dated(e journal.Event) journal.Event {
	if e.Added == nil || e.Added.From != nil || e.T < s.T {
		return e
	}
	e.Seq = s.Seq + 1
	next, err := s.add(e)
	if err != nil {
		return e
	}
	from := phrase.Rounded(next.entries[len(next.entries)-1].From, 3)
	if from < e.T {
		a := *e.Added
		a.From = &from
		e.Added = &a
	}
	return e
}
