package coach

// Weight is the probability of the accounts of a code, whatever the hands; "" is as planned.
func (bel *Belief) Weight(code string) (w float64) {
	for i := range bel.posts {
		if bel.posts[i].hyp.code() == code {
			w += bel.posts[i].weight
		}
	}
	return w
}

// Unnamed is the probability of the account without a name.
func (bel *Belief) Unnamed() float64 { return bel.free.weight }

// BadScale is the probability that the scale was calibrated badly, or never.
func (bel *Belief) BadScale() (w float64) {
	for i := range bel.posts {
		if bel.posts[i].hyp.care.shift > 1 {
			w += bel.posts[i].weight
		}
	}
	return w
}
