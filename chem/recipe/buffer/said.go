package buffer

import (
	"slices"
	"strings"

	"example.org/halfdrop/chem/table"
)

// Said is the demand with what the name of its buffer says besides: "HEPES-KOH" and
// "potassium phosphate" are to hold potassium, whichever way they are made.
func (d Demand) Said() Demand {
	if d.Base != "" || d.Buffer == "" {
		return d
	}
	if _, err := table.System(d.Buffer); err == nil {
		return d
	}
	if _, titrant, ok := table.Brought(d.Buffer); ok {
		if strings.HasSuffix(titrant, "OH") && titrant != "NaOH" { // which it is where nothing is said
			d.Base = titrant
		}
		return d
	}
	list, err := table.Find(d.Buffer)
	if err == nil && !slices.ContainsFunc(list, func(r table.Reagent) bool { return Form{Reagent: r}.Cations() != "K+" }) {
		d.Base = "KOH"
	}
	return d
}
