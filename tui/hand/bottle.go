package hand

import "slices"

// Cycle chooses the next titrant of the plan.
func (h *Hand) Cycle() Answer {
	all := h.View.Titrants
	if len(all) < 2 {
		return Sorry("the plan has no other titrant")
	}
	i := slices.Index(all, h.Titrant())
	h.Chosen = all[(i+1)%len(all)]
	note := ""
	if h.ordered() {
		if note = ", which is not the one advised"; h.Chosen == h.View.Titrant {
			h.Chosen, note = "", ", as advised"
		}
	}
	if h.Typed != "" {
		return Answer{} // the bottle stands beside the number
	}
	return Say("what was added is recorded as %s%s", h.Titrant(), note)
}
