package journal

import (
	"cmp"
	"slices"
)

// Note is what a person puts on record about the plate: what was weighed, lots, and
// who and what stands there. Of two notes the later one counts where both say
// something.
type Note struct {
	Operator    string     `json:"operator,omitempty"`
	Meter       string     `json:"meter,omitempty"`
	Electrode   string     `json:"electrode,omitempty"`
	Thermometer string     `json:"thermometer,omitempty"`
	Dropper     string     `json:"dropper,omitempty"`
	Weighed     []Weighing `json:"weighed,omitempty"`
	Bottles     []Lot      `json:"bottles,omitempty"`
}

// Weighing is a reagent as the balance had it.
type Weighing struct {
	Reagent string  `json:"reagent"`         // as the plan names it
	Grams   float64 `json:"grams,omitempty"` // 0 when only the lot is known
	Lot     string  `json:"lot,omitempty"`
}

// Lot is the lot of a bottle of the plan.
type Lot struct {
	Titrant string `json:"titrant"`
	Lot     string `json:"lot"`
}

// Making is the reading of the finished solution, made up to its mark. It may come
// after the end of a run.
type Making struct {
	PH      float64  `json:"ph"`
	TempC   *float64 `json:"temp_c,omitempty"` // °C at which it was read
	By      string   `json:"by,omitempty"`
	Outcome string   `json:"outcome,omitempty"` // of the run, for who reads the last line only
}

// With is the note with what a later one says.
func (n Note) With(later Note) Note {
	n.Operator, n.Meter, n.Electrode = cmp.Or(later.Operator, n.Operator), cmp.Or(later.Meter, n.Meter), cmp.Or(later.Electrode, n.Electrode)
	n.Thermometer, n.Dropper = cmp.Or(later.Thermometer, n.Thermometer), cmp.Or(later.Dropper, n.Dropper)
	n.Weighed, n.Bottles = slices.Clone(n.Weighed), slices.Clone(n.Bottles)
	for _, w := range later.Weighed {
		i := slices.IndexFunc(n.Weighed, func(x Weighing) bool { return x.Reagent == w.Reagent })
		if i < 0 {
			n.Weighed = append(n.Weighed, w)
			continue
		}
		x := &n.Weighed[i]
		x.Grams, x.Lot = cmp.Or(max(w.Grams, 0), x.Grams), cmp.Or(w.Lot, x.Lot)
	}
	for _, l := range later.Bottles {
		if i := slices.IndexFunc(n.Bottles, func(x Lot) bool { return x.Titrant == l.Titrant }); i >= 0 {
			n.Bottles[i] = l
		} else {
			n.Bottles = append(n.Bottles, l)
		}
	}
	return n
}
