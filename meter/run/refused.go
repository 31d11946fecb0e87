package run

import (
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/order"
)

// refusals are orders of one bottle, in a row, of which nothing was given.
type refusals struct {
	titrant string
	n       int
}

// emptyAfter is after how many of them a bottle is taken to be empty, or not there.
const emptyAfter = 2

// again is after one more. An order whose drops seemed to fall was no refusal: nobody had
// given anything yet.
func (r refusals) again(o *order.Standing) refusals {
	if o.Advice == nil || o.Dosed > 0 {
		return r
	}
	if r.titrant != o.Advice.Titrant {
		r = refusals{titrant: o.Advice.Titrant}
	}
	r.n++
	return r
}

// aside are the stocks that are not to be had: that of which nothing was given twice.
func (s *State) aside() []int {
	if j := given.StockOf(s.Setup, s.refusals.titrant); j >= 0 && s.refusals.n >= emptyAfter {
		return []int{j}
	}
	return nil
}
