package hand

import (
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen"
)

// Answer is what a key press leads to: at most one thing wanted of the run,
// and words for the person.
type Answer struct {
	Want  *intent.Intent
	Say   string
	Wrong bool           // the key did nothing
	Words *intent.Intent // what waits for a reason in the person's own words
	Mark  *intent.Intent // what waits for a new mark
}

// Hand is what the person is about to record. Screen and line mode share it.
type Hand struct {
	View view.View
	Any  bool // a view has come

	Typed    string // digits, a point, and an m at the end for mL
	Chosen   string // titrant chosen by hand, empty for the one advised
	Counting bool
	counted  float64
	wanted   float64 // drops ordered when the count began, 0 when none were
	counts   string  // titrant ordered when the count began

	ids      int64     // of the latest intent
	sent     int64     // of the latest addition
	offer    view.View // the latest order
	offers   bool      // it was neither recorded nor declined yet
	Question *Question // to be answered before anything else is recorded
	closed   float64   // s of the run at which a question was closed with one key
	key      string    // that key; empty once something else was pressed, or none was
}

// See takes a new view. A question that has lost what it was about goes, or the answers to
// what has come instead would be dead.
func (h *Hand) See(v view.View) {
	if fresh := asks(v) && v.Falling == nil && !asks(h.View) && !h.offers; fresh && h.Typed == "" && h.Question == nil {
		h.Chosen = "" // what was in hand before there was this order is none of it
	}
	h.View, h.Any = v, true
	if q := h.Question; q != nil && q.stands != nil && !q.stands(v) {
		h.Question = nil
	}
	if h.ordered() && !h.Spent() {
		h.offer, h.offers = v, true
	}
	for _, a := range v.Answers {
		switch {
		case a.Asks && a.Slip != nil:
			h.Question = h.slipped(a)
		case a.Asks:
			h.Question = h.reallyMeant(a)
		}
	}
}

// ordered reports whether an addition is ordered, or is being given.
func (h *Hand) ordered() bool { return asks(h.View) }

// asks reports whether an addition is ordered, or is being given.
func asks(v view.View) bool { return v.Advice.Do == coach.Add || v.Falling != nil }

// Spent reports whether the order on the screen was recorded already, with the
// run's answer still to come. A second Enter must not count twice.
func (h *Hand) Spent() bool { return h.sent > h.View.Heard }

// Stamp gives what is wanted a number, by which its answer is known.
func (h *Hand) Stamp(in *intent.Intent) {
	h.ids++
	if in.ID = h.ids; in.Kind == intent.Add {
		h.sent = in.ID
	}
}

// Titrant is what an amount will be recorded as.
func (h *Hand) Titrant() string {
	switch {
	case h.Chosen != "":
		return h.Chosen
	case h.Counting && h.counts != "":
		return h.counts
	case h.ordered():
		return h.View.Titrant
	case h.offers:
		return h.offer.Titrant
	}
	if e, ok := h.latest(); ok {
		return h.View.Titrants[e.Stock]
	}
	if len(h.View.Titrants) > 0 {
		return h.View.Titrants[0]
	}
	return ""
}

// other reports whether the titrant is not the one advised.
func (h *Hand) other() bool {
	return h.Chosen != "" && h.ordered() && h.Chosen != h.View.Titrant
}

// Enter records: what was typed, else what was ordered. A count that says
// otherwise is asked about, unless it is the one drop that says that it begins.
func (h *Hand) Enter() Answer {
	key := h.key
	h.key = ""
	switch {
	case key != "" && h.nothingInHand() && h.View.T-h.closed < reflex && h.ordered() && !h.Spent():
		return Sorry("%s was the answer, and Enter adds nothing to it; Enter again records %s of %s", key, amountOf(h.View), h.Titrant())
	case h.Typed == "" && h.View.Away != nil:
		return h.dipped()
	case h.Typed != "" && h.eitherWay():
		return h.whichIs()
	case h.Typed != "" && h.OfPH() && !strings.ContainsAny(h.Typed, ".p"):
		return h.whichIs()
	case h.Typed != "" && h.OfPH():
		return h.Read(false)
	case h.Typed != "":
		drops, ml, err := h.amount(h.Typed)
		if err != nil {
			return Sorry("%v", err)
		}
		return h.add(drops, ml)
	case h.Counting && h.counted > 0:
		return h.asCounted()
	case h.Counting:
		h.Forget()
		return Sorry("no drops were counted, nothing is recorded")
	}
	return h.asOrdered()
}

// reallyMeant asks about an amount that the run doubts.
func (h *Hand) reallyMeant(a intent.Answer) *Question {
	in := a.To
	in.Sure = true
	return yesNo(a.Text+". Record it?", func() Answer {
		h.Stamp(&in)
		return Answer{Want: &in}
	}, "nothing is recorded")
}

// add sends an addition and clears the hand.
func (h *Hand) add(drops, ml float64) Answer {
	name := h.Titrant()
	if name == "" {
		return Sorry("there is no titrant to record yet")
	}
	in := intent.Intent{Kind: intent.Add, Titrant: name, Drops: drops, ML: ml}
	h.Stamp(&in)
	h.offers = false
	h.Forget()
	h.Chosen = ""
	return Answer{Want: &in}
}

// Decline says that nothing of the order was given.
func (h *Hand) Decline() Answer {
	if !h.ordered() || h.Spent() {
		return Sorry("nothing is ordered now; u withdraws an addition")
	}
	h.offers = false
	h.Forget()
	h.Chosen = ""
	return Answer{Want: &intent.Intent{Kind: intent.Decline}}
}

// GoOn wants what is safe now, not a better reading.
func (h *Hand) GoOn() Answer {
	switch {
	case h.ordered():
		return Sorry("nothing is held back: the order stands and can be given")
	case h.View.Offer == nil:
		return Sorry("%v", propose.ErrNothingHeld)
	}
	return Answer{Want: &intent.Intent{Kind: intent.GoOn}}
}

// Immersed says that the electrode is in the beaker.
func (h *Hand) Immersed() Answer {
	if h.View.Away != nil {
		return h.dipped()
	}
	return Answer{Want: &intent.Intent{Kind: intent.Immersed}}
}

// AllCounted reports whether as many drops were counted as were ordered.
func (h *Hand) AllCounted() bool { return h.wanted > 0 && h.counted >= h.wanted }

// Forget lets go of an amount that was typed or counted.
func (h *Hand) Forget() { h.Typed, h.Counting, h.counted, h.wanted, h.counts = "", false, 0, 0, "" }

// longestAmount is how many characters an amount may have.
const longestAmount = 7

// Digit takes one more character of an amount.
func (h *Hand) Digit(r rune) Answer {
	if r == ',' {
		r = '.'
	}
	switch {
	case strings.HasSuffix(h.Typed, "m"):
		return Sorry("nothing can follow m")
	case strings.HasSuffix(h.Typed, "p"):
		return Sorry("nothing can follow p")
	case r == '.' && strings.Contains(h.Typed, "."):
		return Sorry("one point is enough")
	case len(h.Typed) >= longestAmount:
		return Sorry("too long")
	}
	h.Typed += string(r)
	return Answer{}
}

// Millilitres makes the amount one in mL.
func (h *Hand) Millilitres() Answer {
	if !h.bare() {
		return Sorry("m goes after a number, for mL: 0.6m")
	}
	h.Typed += "m"
	return Answer{}
}

// undo withdraws the latest addition, unless something else is in hand.
func (h *Hand) undo() Answer {
	if h.Typed != "" || h.Counting {
		return Sorry("Esc first, then u")
	}
	if h.NothingGiven() {
		return Sorry("there is no addition to withdraw")
	}
	return h.why("why withdraw "+h.withdrawn()+"?", undoReasons, intent.Intent{Kind: intent.Undo})
}

// withdrawn is the addition that u withdraws, by its amount and bottle: after an answer to a
// CHECK that put its bottle right, a person may think that u takes the answer back.
func (h *Hand) withdrawn() string {
	e, ok := h.latest()
	if !ok || h.Spent() || e.Stock >= len(h.View.Titrants) {
		return "the latest addition"
	}
	return FirstWords(view.Amount(e.Drops, e.Volume)) + " of " + h.View.Titrants[e.Stock]
}

// NothingGiven reports that there was no addition: none is on record, and none is on its way
// there.
func (h *Hand) NothingGiven() bool {
	return h.Any && !anyGiven(h.View) && !h.Spent()
}

// Correct says what the latest addition really was: what is typed or counted,
// the titrant chosen with t, or both.
func (h *Hand) Correct() Answer {
	in := intent.Intent{Kind: intent.Correct, Titrant: h.Chosen}
	switch {
	case h.NothingGiven():
		return Sorry("there is no addition to correct")
	case h.Typed != "":
		drops, ml, err := h.amount(h.Typed)
		if err != nil {
			return Sorry("%v", err)
		}
		in.Drops, in.ML = drops, ml
	case h.Counting:
		in.Drops = h.counted
	case h.Chosen != "":
	default:
		return Sorry("first say what it was: 7 e for 7 %s, t e for another titrant", h.unit())
	}
	same := h.nothingNew(in)
	h.Forget()
	h.Chosen = ""
	if same {
		return Sorry("nothing to correct: that is what is on record")
	}
	return h.why("why correct the latest addition?", correctReasons, in)
}

// Screen is the hand as the screen shows it.
func (h *Hand) Screen() screen.Hand {
	return screen.Hand{Titrant: h.Titrant(), Other: h.other(), Typed: h.Typed, PH: h.Typed != "" && h.OfPH(), ML: h.inML(),
		Counting: h.Counting, Counted: h.counted, Wanted: h.wanted}
}
