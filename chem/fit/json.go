package fit

import (
	"encoding/json"
	"math"
)

// told is a figure as JSON gives it to a program that looks at nothing else: one whose
// spread exceeds it is null, and why.
type told struct {
	Value *float64 `json:"value"`
	SD    *float64 `json:"sd"`
	Why   string   `json:"why,omitempty"` // of a value that is null
}

// Why a figure is not given.
const (
	noNumber = "the curve gives no number"
	tooWide  = "its spread is as large as its value or larger"
	wideOfPK = "its spread is one pH or more"
	assumed  = "not given: the spreads hold from half of the usual 50 mL to twice as much"
)

// MarshalJSON writes null for what is no number: a spread that could not be had.
func (v Value) MarshalJSON() ([]byte, error) { return json.Marshal(v.told(true, "")) }

func (v Value) told(ok bool, why string) told {
	switch {
	case !finite(v.Value) || !finite(v.SD):
		why = noNumber
	case ok:
		return told{&v.Value, &v.SD, ""}
	}
	return told{nil, orNull(v.SD), why}
}

func (v Value) amount() told { return v.told(v.Told(), tooWide) }

// PKTold reports whether the constant says anything: it is known to one pH.
func (s *Site) PKTold() bool { return finite(s.PK.Value) && s.PK.SD < 1 }

// MarshalJSON writes null, and why, for what the curve does not tell.
func (s Site) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		PK   told `json:"pk"`
		MMol told `json:"mmol"`
		ML   told `json:"titrant_ml"`
	}{s.PK.told(s.PKTold(), wideOfPK), s.MMol.amount(), s.ML.amount()})
}

// MarshalJSON writes null, and why, for what the curve does not tell.
func (r Result) MarshalJSON() ([]byte, error) {
	type plain Result // without this method
	ends := []told{}
	for _, e := range r.Ends {
		ends = append(ends, e.amount())
	}
	sample, why := &r.SampleML, ""
	if r.SampleSD >= math.Abs(r.SampleML) {
		sample, why = nil, assumed
	}
	return json.Marshal(struct {
		plain
		Molar  told     `json:"molar"`
		Excess told     `json:"excess_mmol"`
		Ends   []told   `json:"equivalence_ml"`
		Sample *float64 `json:"sample_ml"`
		Why    string   `json:"sample_ml_why,omitempty"`
	}{plain(r), r.Molar.amount(), r.Excess.amount(), ends, sample, why})
}
