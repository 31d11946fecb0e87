package given

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
)

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
	mostTimes  = 9.0                   // the order: more of it is a slip of the finger, and a point left out makes it ten
	wholeTimes = 3.0                   // what the plan takes in all: the same, where nothing was ordered
	spareRoom  = 0.5 * chem.Millilitre // over the mark: droppers and marks are no better
	leastRoom  = 2 * spareRoom         // that is not asked about, whatever the mark says
)

// Case is what an addition is doubted by beside the plan.
type Case struct {
	Order   *journal.Advice // that stands; nil when none does
	Instead int64           // the addition that it takes the place of, 0 for none
	ByHand  bool            // a person types what the display shows
	Whole   chem.Volume     // of its bottle, that leads from the start of the plan to its aim; NaN or 0 where none does
}

// Doubt says what makes no sense about an addition, nil when nothing does.
func (l List) Doubt(setup *recipe.Setup, a journal.Addition, c Case) *Doubt {
	en, err := Entry(setup, a)
	if err != nil {
		return nil //nolint:nilerr // it is refused for itself
	}
	in := setup.Start + l.Volume(c.Instead)
	room := math.Max(float64(setup.Final-in+spareRoom), float64(leastRoom))
	var ordered chem.Volume
	o := c.Order
	if o != nil && o.Titrant == a.Titrant {
		// What was ordered makes sense, past the mark too: that was agreed to.
		ordered = chem.Volume(o.ML) * chem.Millilitre
		room = math.Max(room, float64(ordered+leastRoom))
	}
	given := view.Amount(en.Drops, en.Volume) + " of " + a.Titrant
	if halves := en.Drops * 2; c.ByHand && ordered > 0 && halves != math.Floor(halves) {
		return &Doubt{Given: given, Up: upTo(setup, en, min(mostTimes*ordered, chem.Volume(room))),
			Why: "drops are whole ones or halves, and a pH counts once the order is on record"}
	}
	if float64(en.Volume) > room {
		return &Doubt{Given: given, Up: upTo(setup, en, chem.Volume(room)),
			Why: fmt.Sprintf("there is room for %s mL under the mark", view.Millilitres(max(0, setup.Final-in)))}
	}
	if ordered <= 0 {
		most := max(wholeTimes*c.Whole, leastRoom)
		if !(c.Whole > 0) || en.Volume <= most {
			return nil
		}
		return &Doubt{Given: given, Up: upTo(setup, en, most), Why: fmt.Sprintf("none of it is ordered, and the plan takes %s in all", view.Amount(whole(setup, en, c.Whole), c.Whole))}
	}
	most, counted := upTo(setup, en, mostTimes*ordered), o.Drops
	if setup.Stocks[en.Stock].ByML {
		counted = 0 // the coach counts its steps
	}
	switch {
	case en.Volume > mostTimes*ordered:
		return &Doubt{Given: given, Up: most, Why: fmt.Sprintf("more than %g times the %s ordered", mostTimes, view.Amount(counted, ordered))}
	case en.Drops > 0 && en.Drops*fewTimes <= counted && math.Abs(en.Drops-o.ML) <= nearBy*o.ML:
		return &Doubt{Given: given, Up: most, Why: fmt.Sprintf("%s were ordered: a number in mL has an m behind it, such as %sm", view.Amount(counted, ordered), view.Millilitres(ordered))}
	case l.inAll(en.Stock, c.Instead) > 0 && nearly(en.Volume, l.inAll(en.Stock, c.Instead)+ordered, ordered) && !nearly(en.Volume, ordered, ordered):
		return &Doubt{Given: given, Up: most, Why: fmt.Sprintf("it has given that in all, with the %s ordered now: what is wanted is what was added", view.Amount(0, ordered))}
	}
	return nil
}

// What is typed for an order may be in another unit, or a sum: that near the other figure,
// as part of the order, and so many times less than the order in drops.
const (
	nearBy   = 0.3
	fewTimes = 5.0
	sumBy    = 0.1
)

// nearly reports whether a volume is about another, as far as an order is concerned.
func nearly(v, other, ordered chem.Volume) bool {
	return math.Abs(float64(v-other)) <= sumBy*float64(ordered)
}

// inAll is what a pipette or burette of one stock has given, but for one addition.
func (l List) inAll(stock int, but int64) (v chem.Volume) {
	for _, e := range l {
		if !e.Undone && (but == 0 || e.Seq != but) && e.Stock == stock && e.Drops == 0 {
			v += e.Volume
		}
	}
	return v
}

// whole is a volume in the drops of an entry, a whole number of them; 0 of one in mL.
func whole(setup *recipe.Setup, en view.Entry, v chem.Volume) float64 {
	if en.Drops > 0 {
		return math.Ceil(float64(v / setup.Stocks[en.Stock].Drop))
	}
	return 0
}

// upTo is a volume in the unit of an entry.
func upTo(setup *recipe.Setup, en view.Entry, v chem.Volume) string {
	if en.Drops > 0 {
		return fmt.Sprintf("%.0f drops", math.Floor(float64(v/setup.Stocks[en.Stock].Drop)+1e-9))
	}
	return view.Millilitres(v) + " mL"
}
