package hand

import (
	"math"
	"slices"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
)

// Cycle chooses the next titrant of the plan.
func (h *Hand) Cycle() Answer {
	all := h.View.Titrants
	if len(all) < 2 {
		return Sorry("the plan has no other titrant")
	}
	i := slices.Index(all, h.Titrant())
	h.Chosen = all[(i+1)%len(all)]
	what, note := "the next addition", ""
	last, any := h.latest()
	switch {
	case h.ordered():
		what = "this addition"
		if note = ", which is not the one advised"; h.Chosen == h.View.Titrant {
			h.Chosen, note = "", ", as advised"
		}
	case any && h.View.Titrants[last.Stock] != h.Chosen:
		note = "; e: the last one was that, too"
	}
	if h.Typed != "" {
		return Answer{} // the bottle stands beside the number
	}
	return Say("%s is recorded as %s%s", what, h.Titrant(), note)
}

// latest is the last addition on record; false for none.
func (h *Hand) latest() (view.Entry, bool) {
	for _, e := range slices.Backward(h.View.Entries) {
		if !e.Undone && e.Stock < len(h.View.Titrants) {
			return e, true
		}
	}
	return view.Entry{}, false
}

// nothingNew reports whether a correction says what is on record already.
func (h *Hand) nothingNew(in intent.Intent) bool {
	e, ok := h.latest()
	if !ok || h.Spent() || in.Titrant != "" && in.Titrant != h.View.Titrants[e.Stock] {
		return false
	}
	switch {
	case in.Drops > 0:
		return in.Drops == e.Drops
	case in.ML > 0:
		return e.Drops == 0 && math.Abs(in.ML-e.Volume.Millilitres()) < 1e-9
	}
	return true
}
