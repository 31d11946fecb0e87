package coach

import "example.org/halfdrop/chem/coach/belief"

// DecideOn is the advice on a belief.
func (b *Bench) DecideOn(bel belief.Belief, r Request) Advice { return b.decide(&bel, r) }

// With is the history closed by the present reading.
func (r Request) With(sd float64) History { return r.with(sd) }

// Falls reports whether an addition is so much worse than one on a better reading that this is
// waited for.
func (a Advice) Falls(better Advice) bool { return a.falls(better) }
