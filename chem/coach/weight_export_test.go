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

// Fresh is the probability of the accounts that have forgotten what earlier runs have shown.
func (bel *Belief) Fresh() (w float64) {
	for i := range bel.posts {
		if bel.posts[i].hyp.care.fresh {
			w += bel.posts[i].weight
		}
	}
	return w
}

// Ahead is the labelled charge that leads to a pH by the account without a name, and the
// spread of its logarithm.
func (bel *Belief) Ahead(to float64, stock int) (charge, lnSD float64) {
	return bel.free.ahead(to, stock)
}

// Risk is the chance that drops of a stock bring the beaker past aim and tolerance.
func (b *Bench) Risk(h History, stock int, drops float64) float64 {
	bel := b.Believe(h)
	d := bel.dosing(stock, b.pull(stock))
	return d.chance(drops)
}
