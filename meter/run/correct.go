package run

import (
	"fmt"
	"slices"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// Correction is what the journal records when the addition with sequence
// number seq (0 for the latest in force) was not what was keyed: another count
// ("that was 7, not 6"), another titrant, or both. An empty titrant, or drops
// and ml of 0, leave that part as it was.
func (s State) Correction(seq int64, titrant string, drops, ml float64, reason string) (journal.Correction, error) {
	old, ok := s.InForce(seq)
	if !ok {
		return journal.Correction{}, fmt.Errorf("run: %w", ErrNothing)
	}
	if titrant == "" {
		titrant = s.Setup.Stocks[old.Stock].Name
	}
	if drops == 0 && ml == 0 {
		if drops = old.Drops; drops == 0 {
			ml = old.Volume.Millilitres()
		}
	}
	to, err := s.Addition(titrant, drops, ml)
	return journal.Correction{Seq: old.Seq, To: to, Reason: reason}, err
}

// InForce is the addition with a sequence number, 0 for the latest; false when there is none
// or it was withdrawn.
func (s State) InForce(seq int64) (view.Entry, bool) {
	if seq == 0 {
		return s.Latest()
	}
	i := slices.IndexFunc(s.entries, func(e view.Entry) bool { return e.Seq == seq && !e.Undone })
	if i < 0 {
		return view.Entry{}, false
	}
	return s.entries[i], true
}

// Latest is the latest addition in force.
func (s State) Latest() (view.Entry, bool) {
	for i := len(s.entries) - 1; i >= 0; i-- {
		if !s.entries[i].Undone {
			return s.entries[i], true
		}
	}
	return view.Entry{}, false
}

// Addition is what the journal records for drops, or for mL when drops is 0,
// of a titrant of the plan.
func (s State) Addition(titrant string, drops, ml float64) (journal.Addition, error) {
	a := journal.Addition{Titrant: titrant, Drops: drops, ML: ml}
	e, err := s.entry(a)
	if err != nil {
		return a, fmt.Errorf("run: %w", err)
	}
	a.ML = phrase.Rounded(e.Volume.Millilitres(), 6)
	return a, nil
}

// Additions are the additions in force, in the order in which they were keyed,
// as the journal would record them.
func (s State) Additions() []journal.Addition {
	var out []journal.Addition
	for _, e := range s.entries {
		if !e.Undone {
			out = append(out, journal.Addition{Titrant: s.Setup.Stocks[e.Stock].Name, Drops: e.Drops, ML: phrase.Rounded(e.Volume.Millilitres(), 6)})
		}
	}
	return out
}
