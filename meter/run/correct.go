package run

import (
	"fmt"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/view"
)

// InForce is the addition with a sequence number, 0 for the latest; false when there is none
// or it was withdrawn.
func (s State) InForce(seq int64) (view.Entry, bool) {
	return s.entries.InForce(seq)
}

// Latest is the latest addition in force.
func (s State) Latest() (view.Entry, bool) { return s.entries.Latest() }

// Addition is what the journal records for drops, or for mL when drops is 0,
// of a titrant of the plan.
func (s State) Addition(titrant string, drops, ml float64) (journal.Addition, error) {
	a := journal.Addition{Titrant: titrant, Drops: drops, ML: ml}
	e, err := given.Entry(s.Setup, a)
	if err != nil {
		return a, fmt.Errorf("run: %w", err)
	}
	a.ML = phrase.Decimals(e.Volume.Millilitres(), 6)
	return a, nil
}

// Additions are the additions in force, in the order in which they were keyed,
// as the journal would record them.
func (s State) Additions() []journal.Addition { return s.entries.Journal(s.Setup) }

// Doubt says what makes no sense about an addition, nil when nothing does.
// instead is the addition that it takes the place of.
func (s State) Doubt(a journal.Addition, instead *view.Entry) *given.Doubt {
	if instead != nil {
		return s.entries.Doubt(s.Setup, a, given.Case{Instead: instead.Seq, ByHand: s.byHand, Whole: s.whole(a.Titrant)})
	}
	return s.entries.Doubt(s.Setup, a, given.Case{Order: s.order.Advice, ByHand: s.byHand, Whole: s.whole(a.Titrant)})
}

// whole is what the plan takes of a bottle in all; NaN where it leads nowhere.
func (s *State) whole(titrant string) chem.Volume {
	i := slices.IndexFunc(s.Setup.Stocks, func(st recipe.Stock) bool { return st.Name == titrant })
	if i < 0 || i >= len(s.forecast.Need) {
		return 0
	}
	return chem.Volume(s.forecast.Need[i])
}
