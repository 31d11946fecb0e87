package journal

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
	for _, f := range []struct {
		to   *string
		from string
	}{{&n.Operator, later.Operator}, {&n.Meter, later.Meter}, {&n.Electrode, later.Electrode}, {&n.Thermometer, later.Thermometer}, {&n.Dropper, later.Dropper}} {
		if f.from != "" {
			*f.to = f.from
		}
	}
	n.Weighed, n.Bottles = append([]Weighing(nil), n.Weighed...), append([]Lot(nil), n.Bottles...)
	for _, w := range later.Weighed {
		n.Weighed = withWeighing(n.Weighed, w)
	}
	for _, l := range later.Bottles {
		n.Bottles = withLot(n.Bottles, l)
	}
	return n
}

func withWeighing(list []Weighing, w Weighing) []Weighing {
	for i := range list {
		if list[i].Reagent != w.Reagent {
			continue
		}
		if w.Grams > 0 {
			list[i].Grams = w.Grams
		}
		if w.Lot != "" {
			list[i].Lot = w.Lot
		}
		return list
	}
	return append(list, w)
}

func withLot(list []Lot, l Lot) []Lot {
	for i := range list {
		if list[i].Titrant == l.Titrant {
			list[i] = l
			return list
		}
	}
	return append(list, l)
}
