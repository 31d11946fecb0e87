package hand

import (
	"strconv"
	"strings"

	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/run/intent"
)

// Drop counts a drop that has fallen. A number typed before is where it goes on.
func (h *Hand) Drop() Answer {
	if strings.HasSuffix(h.Typed, "m") || h.Typed != "" && h.OfPH() {
		return Sorry("Enter or Esc first, then count")
	}
	if h.inML() && (h.Typed != "" || !h.ordered()) {
		return Sorry("%s is given in mL: the number, then Enter", h.Titrant())
	}
	if h.ordered() && h.View.Advice.Drops == 0 && !h.Counting && h.Typed == "" && h.Chosen == "" {
		return Answer{Want: &intent.Intent{Kind: intent.Dose, Titrant: h.View.Titrant}, Say: "it is given in mL: Enter when all of it is in"}
	}
	if !h.Counting {
		h.begin()
	}
	if x, err := strconv.ParseFloat(h.Typed, 64); err == nil {
		h.counted = x
	}
	h.Typed = ""
	h.counted += h.step()
	if !h.ordered() || h.wanted == 0 {
		return Answer{}
	}
	return Answer{Want: &intent.Intent{Kind: intent.Dose, Titrant: h.Titrant(), Drops: h.counted}}
}

// step is what one more makes the count: where half a drop is wanted, that is what is
// touched off.
func (h *Hand) step() float64 {
	if left := h.wanted - h.counted; left > 0 && left < 1 {
		return left
	}
	return 1
}

// Doses says that the first drop of the order falls, where nobody counts.
func (h *Hand) Doses() Answer {
	if !h.ordered() || h.Spent() {
		return Sorry("nothing is ordered now")
	}
	return Answer{Want: &intent.Intent{Kind: intent.Dose, Titrant: h.View.Titrant}}
}

func (h *Hand) begin() {
	h.Counting, h.counted, h.wanted, h.counts = true, 0, 0, h.Titrant()
	v := h.View
	switch {
	case h.Spent() || h.other():
	case h.ordered():
		h.wanted = v.Advice.Drops
	case h.offers && h.Titrant() == h.offer.Titrant:
		// The first drops may move the reading before they are counted.
		h.wanted = h.offer.Advice.Drops
	}
}

// Back takes back the last character, or the last drop counted.
func (h *Hand) Back() Answer {
	switch {
	case h.Typed != "":
		h.Typed = h.Typed[:len(h.Typed)-1]
	case h.Counting && h.counted > 1:
		h.counted--
	case h.Counting:
		h.Forget()
		return Say("count cleared")
	default:
		return Sorry("nothing is typed or counted; u withdraws the latest addition")
	}
	return Answer{}
}

// Clear empties the hand from the outside in.
func (h *Hand) Clear() Answer {
	switch {
	case h.Typed != "":
		h.Typed = ""
	case h.Counting:
		h.Forget()
		return Say("count cleared")
	case h.Chosen != "":
		h.Chosen = ""
	case h.View.Away != nil && h.View.Away.Stage != walk.Done:
		return Check(intent.CheckStop, "")
	default:
		return Sorry("nothing to clear; q ends the run, ? shows all keys")
	}
	return Answer{}
}
