package order

import (
	"fmt"
	"slices"

	"example.org/halfdrop/chem/recipe"
)

// Refusals are orders of one bottle, in a row, of which nothing was given. It is a value; the
// zero value is none.
type Refusals struct {
	titrant string
	n       int
	fresh   string // that was brought in place of all with its label
}

// emptyAfter is after how many of them a bottle is taken to be empty, or not there.
const emptyAfter = 2

// Again is after one more. An order whose drops seemed to fall was no refusal: nobody had
// given anything yet.
func (r Refusals) Again(o *Standing) Refusals {
	if o.Advice == nil || o.Dosed > 0 {
		return r
	}
	if r.titrant != o.Advice.Titrant {
		r = Refusals{titrant: o.Advice.Titrant}
	}
	r.n++
	return r
}

// Titrant is the bottle that was refused; empty for none.
func (r Refusals) Titrant() string { return r.titrant }

// like reports whether two stocks have the same label and drops.
func like(a, b *recipe.Stock) bool {
	return a.Reagent.Name == b.Reagent.Name && a.Molar == b.Molar && a.Drop == b.Drop && a.ByML == b.ByML
}

// Replaced is what a bottle that was brought, the last of the stocks, says of those at hand:
// of one with the same label and drops nothing is left.
func Replaced(stocks []recipe.Stock) (r Refusals) {
	b := &stocks[len(stocks)-1]
	for i := range stocks[:len(stocks)-1] {
		if like(&stocks[i], b) {
			r = Refusals{titrant: stocks[i].Name, n: emptyAfter, fresh: b.Name}
		}
	}
	return r
}

// Note says that a bottle is left aside, and why.
func (r Refusals) Note() string {
	if r.fresh != "" {
		return fmt.Sprintf("%s is used in place of %s", r.fresh, r.titrant)
	}
	return fmt.Sprintf("nothing of %s was given, twice: it is left aside until some is", r.titrant)
}

// Aside are the stocks that are not to be had: that of which nothing was given twice, and
// those in whose place a fresh one was brought.
func (r Refusals) Aside(stocks []recipe.Stock) (out []int) {
	j := slices.IndexFunc(stocks, func(st recipe.Stock) bool { return st.Name == r.titrant })
	if j < 0 || r.n < emptyAfter {
		return nil
	}
	for i := range stocks {
		if st := &stocks[i]; i == j || r.fresh != "" && st.Name != r.fresh && like(st, &stocks[j]) {
			out = append(out, i)
		}
	}
	return out
}
