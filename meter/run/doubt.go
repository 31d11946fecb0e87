package run

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// ErrNoOrder is the error of what is about an order while none stands.
var ErrNoOrder = errors.New("nothing is ordered now")

// Doubt is an amount that makes no sense at this beaker. It is asked about
// before it is recorded.
type Doubt struct {
	Given string // the amount in words
	Why   string
	Up    string // what would be taken without a question
}

// Error is the doubt in words.
func (d *Doubt) Error() string {
	return fmt.Sprintf("%s: %s; up to %s is accepted without a question", d.Given, d.Why, d.Up)
}

// Figures of judgement about amounts, a choice of this project.
const (
	mostTimes = 10.0                  // the order: more of it is a slip of the finger
	spareRoom = 0.5 * chem.Millilitre // over the mark: droppers and marks are no better
	leastRoom = 2 * spareRoom         // that is not asked about, whatever the mark says
)

// Doubt says what makes no sense about an addition, nil when nothing does.
// instead is the addition that it takes the place of.
func (s State) Doubt(a journal.Addition, instead *view.Entry) *Doubt {
	en, err := s.entry(a)
	if err != nil {
		return nil //nolint:nilerr // it is refused for itself
	}
	in := s.Setup.Start
	for _, e := range s.entries {
		if !e.Undone && (instead == nil || e.Seq != instead.Seq) {
			in += e.Volume
		}
	}
	room := math.Max(float64(s.Setup.Final-in+spareRoom), float64(leastRoom))
	var ordered chem.Volume
	o := s.order.advice
	if o != nil && o.Titrant == a.Titrant && instead == nil {
		// What was ordered makes sense, past the mark too: that was agreed to.
		ordered = chem.Volume(o.ML) * chem.Millilitre
		room = math.Max(room, float64(ordered+leastRoom))
	}
	given := view.Amount(en.Drops, en.Volume) + " of " + a.Titrant
	if whole := en.Drops * 2; s.byHand && ordered > 0 && whole != math.Floor(whole) {
		return &Doubt{Given: given, Up: s.upTo(en, min(mostTimes*ordered, chem.Volume(room))),
			Why: "drops are whole ones or halves, and a pH counts once the order is on record"}
	}
	if float64(en.Volume) > room {
		return &Doubt{Given: given, Up: s.upTo(en, chem.Volume(room)),
			Why: fmt.Sprintf("there is room for %s mL under the mark", view.Millilitres(max(0, s.Setup.Final-in)))}
	}
	if ordered > 0 && en.Volume > mostTimes*ordered {
		return &Doubt{Given: given, Up: s.upTo(en, mostTimes*ordered),
			Why: fmt.Sprintf("more than %g times the %s ordered", mostTimes, view.Amount(o.Drops, ordered))}
	}
	return nil
}

// upTo is a volume in the unit of an entry.
func (s *State) upTo(en view.Entry, v chem.Volume) string {
	if en.Drops > 0 {
		return fmt.Sprintf("%.0f drops", math.Floor(float64(v/s.Setup.Stocks[en.Stock].Drop)+1e-9))
	}
	return view.Millilitres(v) + " mL"
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
