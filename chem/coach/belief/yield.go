package belief

import (
	"math"

	"example.org/halfdrop/chem/coach/account"
)

// Yield is how much a drop of a stock did in a run, beside what the plan says of it. The
// readings tell the product only: larger drops, a stronger stock and less buffer look the
// same wherever the beaker buffers.
type Yield struct {
	Stock int
	Ratio float64 // of the labelled charge of a drop, per buffer as weighed; 1 for as planned
	SD    float64 // of ln(Ratio)
}

// Figures of judgement of what a drop did, a choice of this project.
const (
	oddYield = 1.3 // times as much or as little from which on it is spoken of
	oddSDs   = 3.0 // and so many standard deviations from as planned
)

// Odd reports whether a drop did so much more or less than the plan says that it cannot be
// chance, nor the usual scatter of drops and labels.
func (y Yield) Odd() bool {
	ln := math.Abs(math.Log(y.Ratio))
	return ln >= math.Log(oddYield) && ln >= oddSDs*y.SD
}

// Yields is what the readings say of the drops of each stock that was used, whatever was
// thought of them before; nil where they tell nothing, as for a beaker that nobody weighed
// or a sensor whose scale may be half a pH off: that changes what a drop seems to do.
func Yields(b *account.Bench, h account.History) []Yield {
	if b.Unweighed || h.Noise == account.Rough || len(h.Observations) < 2 || len(h.Additions) == 0 {
		return nil
	}
	shown, _, ok := openly(b, h)
	if !ok {
		return nil
	}
	var out []Yield
	for _, s := range shown {
		if s.poured {
			continue
		}
		out = append(out, Yield{Stock: s.stock, Ratio: math.Exp(s.mean), SD: s.sd})
	}
	return out
}
