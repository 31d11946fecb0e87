package protocol

import (
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/run/view"
)

// Found is what is known so far, in the line protocol: mol/L of a bottle or mol of a
// substance, its standard deviation, and the main equivalence point.
type Found struct {
	Name  string   `json:"name"`
	Value float64  `json:"value"`
	SD    float64  `json:"sd"`
	PK    *float64 `json:"pk,omitempty"`
	PKSD  *float64 `json:"pk_sd,omitempty"`
	ML    *float64 `json:"equivalence_ml,omitempty"`
	MLSD  *float64 `json:"equivalence_sd_ml,omitempty"`
	Both  bool     `json:"read_on_both_sides"`
}

func answerOf(f *view.Finding) *Found {
	if f == nil || finite(f.Value) == nil || finite(f.SD) == nil {
		return nil
	}
	a := &Found{Name: f.Name, Value: f.Value, SD: f.SD, Both: f.Passed}
	if f.What == find.Constant {
		a.PK, a.PKSD = finite(f.PK), finite(f.PKSD)
	}
	if f.Main >= 0 {
		s := f.Stations[f.Main]
		a.ML, a.MLSD = finite(s.Volume.Millilitres()), finite(s.SD.Millilitres())
	}
	return a
}
