package coach

// lookedShare is what is left of the prior of a mistake that a person has looked for
// and not found: people look at labels, and labels are wrong now and then. Who has
// looked twice is believed. A choice of this project.
const lookedShare = 0.02

// suspected are the mistakes of a list that are still thought of: each time that a
// person has looked for one and not found it, less.
func (h *History) suspected(list []Mistake) []Mistake {
	if len(h.Looked) == 0 && h.Jump == 0 {
		return list
	}
	var out []Mistake
	for _, m := range list {
		if m.Jump > 0 && m.Jump == h.Jump {
			continue // it is known
		}
		times := 0
		for _, code := range h.Looked {
			if code == m.Code {
				times++
			}
		}
		switch {
		case times >= 2:
			continue
		case times == 1:
			m.Prior *= lookedShare
		}
		out = append(out, m)
	}
	return out
}

// amountSD is the standard deviation of ln(amount weighed).
func (b *Bench) amountSD() float64 {
	if b.AmountSD > 0 {
		return b.AmountSD
	}
	return amountSD
}
