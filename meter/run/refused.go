package run

import (
	"fmt"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/order"
)

// refusals are orders of one bottle, in a row, of which nothing was given.
type refusals struct {
	titrant string
	n       int
	fresh   string // that was brought in place of all with its label
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

// like reports whether two stocks have the same label and drops.
func like(a, b *recipe.Stock) bool {
	return a.Reagent.Name == b.Reagent.Name && a.Molar == b.Molar && a.Drop == b.Drop && a.ByML == b.ByML
}

// replaced is what a bottle that was brought says of those at hand: of one with the same
// label and drops nothing is left.
func replaced(stocks []recipe.Stock) (r refusals) {
	b := &stocks[len(stocks)-1]
	for i := range stocks[:len(stocks)-1] {
		if like(&stocks[i], b) {
			r = refusals{titrant: stocks[i].Name, n: emptyAfter, fresh: b.Name}
		}
	}
	return r
}

// note says that a bottle is left aside, and why.
func (r refusals) note() string {
	if r.fresh != "" {
		return fmt.Sprintf("%s is used in place of %s", r.fresh, r.titrant)
	}
	return fmt.Sprintf("nothing of %s was given, twice: it is left aside until some is", r.titrant)
}

// aside are the stocks that are not to be had: that of which nothing was given twice, and
// those in whose place a fresh one was brought.
func (s *State) aside() (out []int) {
	j := given.StockOf(s.Setup, s.refusals.titrant)
	if j < 0 || s.refusals.n < emptyAfter {
		return nil
	}
	for i := range s.Setup.Stocks {
		if st := &s.Setup.Stocks[i]; i == j || s.refusals.fresh != "" && st.Name != s.refusals.fresh && like(st, &s.Setup.Stocks[j]) {
			out = append(out, i)
		}
	}
	return out
}
