package coach

import "example.org/halfdrop/chem/coach/belief"

// DecideOn is the advice on a belief.
func (b *Bench) DecideOn(bel belief.Belief, r Request) Advice { return b.decide(&bel, r) }

// With is the history closed by the present reading.
func (r Request) With(sd float64) History { return r.with(sd) }
