package tui

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/screen"
)

// answer is what a key press leads to: at most one thing wanted of the run,
// and words for the person.
type answer struct {
	want  *run.Intent
	say   string
	wrong bool // the key did nothing
}

func say(format string, a ...any) answer { return answer{say: fmt.Sprintf(format, a...)} }
func sorry(format string, a ...any) answer {
	return answer{say: fmt.Sprintf(format, a...), wrong: true}
}

// hand is what the person is about to record. Screen and line mode share it.
type hand struct {
	view run.View
	any  bool // a view has come

	typed    string // digits, a point, and an m at the end for mL
	chosen   string // titrant chosen by hand, empty for the one advised
	counting bool
	counted  float64
	wanted   float64 // drops advised when the count began, 0 when none were
	counts   string  // titrant advised when the count began

	owed   int // additions that the run must show before its advice is fresh
	noted  int // View.Noticed when the last addition was sent
	offer  run.View
	offers bool // offer holds an advice to add that was not yet followed
}

// see takes a new view.
func (h *hand) see(v run.View) {
	if len(v.Entries) >= h.owed || v.Failed && v.Noticed > h.noted {
		h.owed = 0
	}
	h.view, h.any = v, true
	if v.Advice.Do == coach.Add && !h.spent() {
		h.offer, h.offers = v, true
	}
}

// spent reports whether the advice on the screen was followed already, with
// the run's answer still to come. A second Enter must not count twice.
func (h *hand) spent() bool { return h.owed > len(h.view.Entries) }

// titrant is what an amount will be recorded as.
func (h *hand) titrant() string {
	switch {
	case h.chosen != "":
		return h.chosen
	case h.counting && h.counts != "":
		return h.counts
	case h.view.Advice.Do == coach.Add:
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
	return h.chosen != "" && h.view.Advice.Do == coach.Add && h.chosen != h.view.Titrant
}

// enter records: what was typed, else what was counted, else what is advised.
func (h *hand) enter() answer {
	switch {
	case h.typed != "":
		drops, ml, err := parseAmount(h.typed)
		if err != nil {
			return sorry("%v", err)
		}
		return h.add(drops, ml)
	case h.counting && h.counted > 0:
		return h.add(h.counted, 0)
	case h.counting:
		h.forget()
		return sorry("no drops were counted, nothing is recorded")
	}
	return h.asAdvised()
}

func (h *hand) asAdvised() answer {
	v := h.view
	switch {
	case v.Advice.Do != coach.Add && h.offers && !h.spent():
		return sorry("not advised now. Gave the %s of %s? %g Enter",
			firstWords(run.Amount(h.offer.Advice.Drops, h.offer.Advice.Volume)), h.offer.Titrant, h.offer.Advice.Drops)
	case v.Advice.Do != coach.Add:
		return sorry("no addition is advised now; 6 Enter records 6 drops")
	case h.spent():
		return sorry("that is being recorded already; wait for the reading")
	case h.other():
		return sorry("%s is advised, %s chosen: type the amount, or t", v.Titrant, h.chosen)
	}
	drops, ml := v.Advice.Drops, 0.0
	if drops <= 0 {
		ml = v.Advice.Volume.Millilitres()
	}
	h.chosen = ""
	return h.add(drops, ml)
}

// add sends an addition and clears the hand.
func (h *hand) add(drops, ml float64) answer {
	name := h.titrant()
	if name == "" {
		return sorry("there is no titrant to record yet")
	}
	h.owed, h.noted = max(h.owed, len(h.view.Entries))+1, h.view.Noticed
	h.offers = false
	h.forget()
	h.chosen = ""
	return answer{want: &run.Intent{Kind: run.WantAdd, Titrant: name, Drops: drops, ML: ml}}
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
		return sorry("nothing goes after m")
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
	if h.typed == "" || strings.HasSuffix(h.typed, "m") {
		return sorry("m goes after a number, for mL: 0.6m")
	}
	h.typed += "m"
	return answer{}
}

// parseAmount reads "6" as drops and "0.6m" as mL.
func parseAmount(text string) (drops, ml float64, err error) {
	number, inML := strings.CutSuffix(text, "m")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || !(x > 0) {
		return 0, 0, fmt.Errorf("%s is no amount", text)
	}
	if inML {
		return 0, x, nil
	}
	return x, 0, nil
}

// drop counts a drop that has fallen. A number typed before is where it goes on.
func (h *hand) drop() answer {
	if strings.HasSuffix(h.typed, "m") {
		return sorry("Enter or Esc first, then count")
	}
	if !h.counting {
		h.begin()
	}
	if x, err := strconv.ParseFloat(h.typed, 64); err == nil {
		h.counted = x
	}
	h.typed = ""
	h.counted++
	return answer{}
}

func (h *hand) begin() {
	h.counting, h.counted, h.wanted, h.counts = true, 0, 0, h.titrant()
	v := h.view
	switch {
	case h.spent() || h.other():
	case v.Advice.Do == coach.Add:
		h.wanted = v.Advice.Drops
	case h.offers && h.titrant() == h.offer.Titrant:
		// The first drops move the reading, and the advice with it.
		h.wanted = h.offer.Advice.Drops
	}
}

// back takes back the last character, or the last drop counted.
func (h *hand) back() answer {
	switch {
	case h.typed != "":
		h.typed = h.typed[:len(h.typed)-1]
	case h.counting && h.counted > 1:
		h.counted--
	case h.counting:
		h.forget()
		return say("the count is forgotten")
	default:
		return sorry("nothing is typed or counted; u withdraws the latest addition")
	}
	return answer{}
}

// clear empties the hand from the outside in.
func (h *hand) clear() answer {
	switch {
	case h.typed != "":
		h.typed = ""
	case h.counting:
		h.forget()
		return say("the count is forgotten")
	case h.chosen != "":
		h.chosen = ""
	default:
		return sorry("nothing to clear; q ends the run, ? shows all keys")
	}
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
	if h.view.Advice.Do == coach.Add {
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
	return answer{want: &run.Intent{Kind: run.WantUndo, Text: "mis-keyed"}}
}

// correct says what the latest addition really was: what is typed or counted,
// the titrant chosen with t, or both.
func (h *hand) correct() answer {
	in := run.Intent{Kind: run.WantCorrect, Titrant: h.chosen, Text: "miscounted"}
	switch {
	case h.typed != "":
		drops, ml, err := parseAmount(h.typed)
		if err != nil {
			return sorry("%v", err)
		}
		in.Drops, in.ML = drops, ml
	case h.counting:
		in.Drops = h.counted
	case h.chosen != "":
		in.Text = "the other titrant"
	default:
		return sorry("first what it was: 7 e for 7 drops, t e for another titrant")
	}
	if h.chosen != "" {
		in.Text = "the other titrant"
	}
	h.forget()
	h.chosen = ""
	return answer{want: &in}
}

// confirm says that a check was looked at.
func (h *hand) confirm() answer {
	if h.view.Advice.Do != coach.Check {
		return sorry("there is no CHECK to confirm")
	}
	return answer{want: &run.Intent{Kind: run.WantConfirm}}
}

// screen is the hand as the screen shows it.
func (h *hand) screen() screen.Hand {
	return screen.Hand{Titrant: h.titrant(), Other: h.other(), Typed: h.typed,
		Counting: h.counting, Counted: h.counted, Wanted: h.wanted}
}
