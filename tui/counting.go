package tui

import (
	"strconv"
	"strings"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/run"
)

// drop counts a drop that has fallen. A number typed before is where it goes on.
func (h *hand) drop() answer {
	if strings.HasSuffix(h.typed, "m") || h.typed != "" && h.ofPH() {
		return sorry("Enter or Esc first, then count")
	}
	if h.inML() && (h.typed != "" || !h.ordered()) {
		return sorry("%s is given in mL: the number, then Enter", h.titrant())
	}
	if h.ordered() && h.view.Advice.Drops == 0 && !h.counting && h.typed == "" && h.chosen == "" {
		return answer{want: &run.Intent{Kind: run.WantDose, Titrant: h.view.Titrant}, say: "it is given in mL: Enter when all of it is in"}
	}
	if !h.counting {
		h.begin()
	}
	if x, err := strconv.ParseFloat(h.typed, 64); err == nil {
		h.counted = x
	}
	h.typed = ""
	h.counted++
	if !h.ordered() || h.wanted == 0 {
		return answer{}
	}
	return answer{want: &run.Intent{Kind: run.WantDose, Titrant: h.titrant(), Drops: h.counted}}
}

// doses says that the first drop of the order falls, where nobody counts.
func (h *hand) doses() answer {
	if !h.ordered() || h.spent() {
		return sorry("nothing is ordered now")
	}
	return answer{want: &run.Intent{Kind: run.WantDose, Titrant: h.view.Titrant}}
}

func (h *hand) begin() {
	h.counting, h.counted, h.wanted, h.counts = true, 0, 0, h.titrant()
	v := h.view
	switch {
	case h.spent() || h.other():
	case h.ordered():
		h.wanted = v.Advice.Drops
	case h.offers && h.titrant() == h.offer.Titrant:
		// The first drops may move the reading before they are counted.
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
		return say("count cleared")
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
		return say("count cleared")
	case h.chosen != "":
		h.chosen = ""
	case h.view.Away != nil && h.view.Away.Stage != calib.Done:
		return check(run.CheckStop, "")
	default:
		return sorry("nothing to clear; q ends the run, ? shows all keys")
	}
	return answer{}
}
