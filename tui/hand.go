package tui

import (
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/screen"
)

// answer is what a key press leads to: at most one thing wanted of the run,
// and words for the person.
type answer struct {
	want  *run.Intent
	say   string
	wrong bool        // the key did nothing
	words *run.Intent // what waits for a reason in the person's own words
	mark  *run.Intent // what waits for a new mark
}

func say(format string, a ...any) answer { return answer{say: fmt.Sprintf(format, a...)} }
func sorry(format string, a ...any) answer {
	return answer{say: phrase.Plain(fmt.Errorf(format, a...)).Error(), wrong: true}
}

// hand is what the person is about to record. Screen and line mode share it.
type hand struct {
	view run.View
	any  bool // a view has come

	typed    string // digits, a point, and an m at the end for mL
	chosen   string // titrant chosen by hand, empty for the one advised
	counting bool
	counted  float64
	wanted   float64 // drops ordered when the count began, 0 when none were
	counts   string  // titrant ordered when the count began

	ids      int64     // of the latest intent
	sent     int64     // of the latest addition
	offer    run.View  // the latest order
	offers   bool      // it was neither recorded nor declined yet
	question *question // to be answered before anything else is recorded
}

// see takes a new view.
func (h *hand) see(v run.View) {
	h.view, h.any = v, true
	if h.ordered() && !h.spent() {
		h.offer, h.offers = v, true
	}
	for _, a := range v.Answers {
		switch {
		case a.Asks && a.Slip != nil:
			h.question = h.slipped(a)
		case a.Asks:
			h.question = h.reallyMeant(a)
		}
	}
}

// ordered reports whether an addition is ordered, or is being given.
func (h *hand) ordered() bool { return h.view.Advice.Do == coach.Add || h.view.Falling != nil }

// spent reports whether the order on the screen was recorded already, with the
// run's answer still to come. A second Enter must not count twice.
func (h *hand) spent() bool { return h.sent > h.view.Heard }

// stamp gives what is wanted a number, by which its answer is known.
func (h *hand) stamp(in *run.Intent) {
	h.ids++
	if in.ID = h.ids; in.Kind == run.WantAdd {
		h.sent = in.ID
	}
}

// titrant is what an amount will be recorded as.
func (h *hand) titrant() string {
	switch {
	case h.chosen != "":
		return h.chosen
	case h.counting && h.counts != "":
		return h.counts
	case h.ordered():
		return h.view.Titrant
	case h.offers:
		return h.offer.Titrant
	}
	for _, e := range slices.Backward(h.view.Entries) {
		if !e.Undone && e.Stock < len(h.view.Titrants) {
			return h.view.Titrants[e.Stock]
		}
	}
	if len(h.view.Titrants) > 0 {
		return h.view.Titrants[0]
	}
	return ""
}

// other reports whether the titrant is not the one advised.
func (h *hand) other() bool {
	return h.chosen != "" && h.ordered() && h.chosen != h.view.Titrant
}

// enter records: what was typed, else what was ordered. A count that says
// otherwise is asked about, unless it is the one drop that says that it begins.
func (h *hand) enter() answer {
	switch {
	case h.typed == "" && h.view.Away != nil:
		return h.dipped()
	case h.typed != "" && h.eitherWay():
		return h.whichIs()
	case h.typed != "" && h.ofPH() && !strings.ContainsAny(h.typed, ".p"):
		return h.whichIs()
	case h.typed != "" && h.ofPH():
		return h.read(false)
	case h.typed != "":
		drops, ml, err := h.amount(h.typed)
		if err != nil {
			return sorry("%v", err)
		}
		return h.add(drops, ml)
	case h.counting && h.counted > 0:
		return h.asCounted()
	case h.counting:
		h.forget()
		return sorry("no drops were counted, nothing is recorded")
	}
	return h.asOrdered()
}

// begins is how many drops an order has at the least for one drop counted to say
// no more than that it begins.
const begins = 4

func (h *hand) asCounted() answer {
	n, order := h.counted, h.wanted
	switch {
	case order == 0 || n == order:
		return h.add(n, 0)
	case n == 1 && order >= begins:
		return h.add(order, 0)
	}
	h.question = &question{
		words: fmt.Sprintf("%g ordered, %g counted: what is in the beaker?", order, n),
		choices: []choice{
			{"Enter", "enter", fmt.Sprintf("the %g ordered", order), func() answer { return h.add(order, 0) }},
			{"c", "c", fmt.Sprintf("the %g counted", n), func() answer { return h.add(n, 0) }},
			{"Esc", "esc", "count on", func() answer { return say("the count continues") }},
		}}
	return answer{}
}

func (h *hand) asOrdered() answer {
	v := h.view
	switch {
	case h.spent():
		return sorry("that is already being recorded")
	case v.Giving != nil:
		return sorry("the drops are falling; it is recorded when all are in")
	case !h.ordered() && h.offers:
		h.question = h.stillGiven()
		return answer{}
	case !h.ordered() && v.ByHand:
		return sorry("first type what the display shows, such as 7.42; then Enter, or s if it is steady")
	case !h.ordered():
		return sorry("no addition is advised now; 6 Enter records 6 %s", h.unit())
	case h.other():
		h.question = yesNo(fmt.Sprintf("%s of %s, where %s is ordered?", amountOf(v), h.chosen, v.Titrant),
			func() answer { return h.add(inUnit(v)) }, "nothing is recorded; t chooses the bottle")
		return answer{}
	}
	return h.add(inUnit(v))
}

// amountOf is what was ordered in few words.
func amountOf(v run.View) string { return firstWords(run.Amount(v.Advice.Drops, v.Advice.Volume)) }

// inUnit is what was ordered in the unit in which it is recorded.
func inUnit(v run.View) (drops, ml float64) {
	if v.Advice.Drops > 0 {
		return v.Advice.Drops, 0
	}
	return 0, v.Advice.Volume.Millilitres()
}

// stillGiven asks about an order that has gone from the screen.
func (h *hand) stillGiven() *question {
	old := h.offer
	return yesNo(fmt.Sprintf("was it given: %s of %s, no longer ordered?", amountOf(old), old.Titrant), func() answer {
		h.chosen = old.Titrant
		return h.add(inUnit(old))
	}, "nothing is recorded")
}

// reallyMeant asks about an amount that the run doubts.
func (h *hand) reallyMeant(a run.Answer) *question {
	in := a.To
	in.Sure = true
	return yesNo(a.Text+". Record it?", func() answer {
		h.stamp(&in)
		return answer{want: &in}
	}, "nothing is recorded")
}

// add sends an addition and clears the hand.
func (h *hand) add(drops, ml float64) answer {
	name := h.titrant()
	if name == "" {
		return sorry("there is no titrant to record yet")
	}
	in := run.Intent{Kind: run.WantAdd, Titrant: name, Drops: drops, ML: ml}
	h.stamp(&in)
	h.offers = false
	h.forget()
	h.chosen = ""
	return answer{want: &in}
}

// decline says that nothing of the order was given.
func (h *hand) decline() answer {
	if !h.ordered() || h.spent() {
		return sorry("nothing is ordered now; u withdraws an addition")
	}
	h.offers = false
	h.forget()
	h.chosen = ""
	return answer{want: &run.Intent{Kind: run.WantDecline}}
}

// goOn wants what is safe now, not a better reading.
func (h *hand) goOn() answer {
	switch {
	case h.ordered():
		return sorry("nothing is held back: the order stands and can be given")
	case h.view.Offer == nil:
		return sorry("%v", run.ErrNothingHeld)
	}
	return answer{want: &run.Intent{Kind: run.WantGoOn}}
}

// immersed says that the electrode is in the beaker.
func (h *hand) immersed() answer {
	if h.view.Away != nil {
		return h.dipped()
	}
	return answer{want: &run.Intent{Kind: run.WantImmersed}}
}

func (h *hand) forget() { h.typed, h.counting, h.counted, h.wanted, h.counts = "", false, 0, 0, "" }

// longestAmount is how many characters an amount may have.
const longestAmount = 7

// digit takes one more character of an amount.
func (h *hand) digit(r rune) answer {
	if r == ',' {
		r = '.'
	}
	switch {
	case strings.HasSuffix(h.typed, "m"):
		return sorry("nothing can follow m")
	case strings.HasSuffix(h.typed, "p"):
		return sorry("nothing can follow p")
	case r == '.' && strings.Contains(h.typed, "."):
		return sorry("one point is enough")
	case len(h.typed) >= longestAmount:
		return sorry("too long")
	}
	h.typed += string(r)
	return answer{}
}

// millilitres makes the amount one in mL.
func (h *hand) millilitres() answer {
	if h.typed == "" || strings.HasSuffix(h.typed, "m") || strings.HasSuffix(h.typed, "p") {
		return sorry("m goes after a number, for mL: 0.6m")
	}
	h.typed += "m"
	return answer{}
}

// cycle chooses the next titrant of the plan.
func (h *hand) cycle() answer {
	all := h.view.Titrants
	if len(all) < 2 {
		return sorry("the plan has no other titrant")
	}
	i := slices.Index(all, h.titrant())
	h.chosen = all[(i+1)%len(all)]
	note := ""
	if h.ordered() {
		if note = ", which is not the one advised"; h.chosen == h.view.Titrant {
			h.chosen, note = "", ", as advised"
		}
	}
	return say("what was added is recorded as %s%s", h.titrant(), note)
}

// undo withdraws the latest addition, unless something else is in hand.
func (h *hand) undo() answer {
	if h.typed != "" || h.counting {
		return sorry("Esc first, then u")
	}
	if h.nothingGiven() {
		return sorry("there is no addition to withdraw")
	}
	return h.why("why withdraw the latest addition?", undoReasons, run.Intent{Kind: run.WantUndo})
}

// nothingGiven reports that there was no addition: none is on record, and none is on its way
// there.
func (h *hand) nothingGiven() bool {
	_, any := latest(h.view)
	return h.any && !any && h.sent == 0
}

// correct says what the latest addition really was: what is typed or counted,
// the titrant chosen with t, or both.
func (h *hand) correct() answer {
	in := run.Intent{Kind: run.WantCorrect, Titrant: h.chosen}
	switch {
	case h.nothingGiven():
		return sorry("there is no addition to correct")
	case h.typed != "":
		drops, ml, err := h.amount(h.typed)
		if err != nil {
			return sorry("%v", err)
		}
		in.Drops, in.ML = drops, ml
	case h.counting:
		in.Drops = h.counted
	case h.chosen != "":
	default:
		return sorry("first say what it was: 7 e for 7 %s, t e for another titrant", h.unit())
	}
	h.forget()
	h.chosen = ""
	return h.why("why correct the latest addition?", correctReasons, in)
}

// screen is the hand as the screen shows it.
func (h *hand) screen() screen.Hand {
	return screen.Hand{Titrant: h.titrant(), Other: h.other(), Typed: h.typed, PH: h.typed != "" && h.ofPH(), ML: h.inML(),
		Counting: h.counting, Counted: h.counted, Wanted: h.wanted}
}
