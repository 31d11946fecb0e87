// Package given is what was given to the beaker: the additions on record, checked against
// the plan, counted, doubted, and in the numbers and units in which people know them; pure.
package given

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/run/view"
)

// List are the additions in the order in which they were keyed. It is a value: what changes
// one gives another.
type List []view.Entry

// Count is the number of additions not withdrawn.
func (l List) Count() int {
	n := 0
	for _, e := range l {
		if !e.Undone {
			n++
		}
	}
	return n
}

// Position is the place of entry i among the additions in force.
func (l List) Position(i int) int {
	n := 0
	for _, e := range l[:i] {
		if !e.Undone {
			n++
		}
	}
	return n
}

// InPosition is the addition in force of a number that counts those alone.
func (l List) InPosition(k int) (view.Entry, bool) {
	for i, en := range l {
		if !en.Undone && l.Position(i) == k-1 {
			return en, true
		}
	}
	return view.Entry{}, false
}

// Find is the place of the addition with a sequence number; −1 when there is none or it was
// withdrawn.
func (l List) Find(seq int64) int {
	return slices.IndexFunc(l, func(e view.Entry) bool { return e.Seq == seq && !e.Undone })
}

// InForce is the addition with a sequence number, 0 for the latest; false when there is none
// or it was withdrawn.
func (l List) InForce(seq int64) (view.Entry, bool) {
	if seq == 0 {
		return l.Latest()
	}
	if i := l.Find(seq); i >= 0 {
		return l[i], true
	}
	return view.Entry{}, false
}

// Latest is the latest addition in force.
func (l List) Latest() (view.Entry, bool) {
	for _, e := range slices.Backward(l) {
		if !e.Undone {
			return e, true
		}
	}
	return view.Entry{}, false
}

// LatestSeq is the sequence number of the latest addition in force; 0 before one.
func (l List) LatestSeq() int64 {
	en, _ := l.Latest()
	return en.Seq
}

// Volume is the volume of the additions in force but one, by its sequence number; 0 for none.
func (l List) Volume(but int64) (v chem.Volume) {
	for _, e := range l {
		if !e.Undone && (but == 0 || e.Seq != but) {
			v += e.Volume
		}
	}
	return v
}

// Journal are the additions in force as the journal would record them.
func (l List) Journal(setup *recipe.Setup) (out []journal.Addition) {
	for _, e := range l {
		if !e.Undone {
			out = append(out, journal.Addition{Titrant: setup.Stocks[e.Stock].Name, Drops: e.Drops, ML: phrase.Decimals(e.Volume.Millilitres(), 6)})
		}
	}
	return out
}

// Waited is for how long earlier compositions were waited for, s, together, of a run whose
// first reading came at begun.
func (l List) Waited(begun float64) (sum float64) {
	from := begun
	for _, e := range l {
		if !e.Undone {
			sum += math.Min(math.Max(e.From-from, 0), waitedMost)
			from = e.T
		}
	}
	return sum
}

// waitedMost is how long the coach waits at the most, s: what is more was not its doing.
const waitedMost = 280.0

// Add is with one more.
func (l List) Add(en view.Entry) List { return append(slices.Clip(l), en) }

// Withdrawn is with the one at a place withdrawn.
func (l List) Withdrawn(i int) List {
	l = slices.Clone(l)
	l[i].Undone = true
	return l
}

// Restated is with the one at a place restated as another.
func (l List) Restated(i int, en view.Entry) List {
	l = slices.Clone(l)
	old := &l[i]
	old.Stock, old.Drops, old.Volume, old.Changed = en.Stock, en.Drops, en.Volume, true
	return l
}

// History are the additions in force as the coach counts them, with what the readings between
// them say of the meter, where they are not typed, and of the electrode.
func (l List) History(byHand bool) (h coach.History) {
	late := 0.0 // of all together: what one composition shows of it is not much
	for _, e := range l {
		if e.Undone {
			continue
		}
		h.Additions = append(h.Additions, coach.Addition{Stock: e.Stock, Volume: e.Volume, Drops: e.Drops})
		if n := coach.NoiseOf(e.Before.Noise); n != coach.Unheard && !byHand {
			h.Noise = n
		}
		late += e.Before.Late
	}
	h.Late = late >= coach.LateFrom*float64(max(1, len(h.Additions)))
	return h
}
