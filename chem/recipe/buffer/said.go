package buffer

import (
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem/recipe"
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

// mixtures are what laboratories call by a short name, with the buffer in it and the usual
// rest, in use; common practice, no source.
var mixtures = map[string][2]string{
	"PBS": {"phosphate", "NaCl 137 mM; KCl 2.7 mM"},
	"TBS": {"Tris", "NaCl 150 mM"},
	"HBS": {"HEPES", "NaCl 150 mM"},
	"MBS": {"MES", "NaCl 150 mM"},
	"TE":  {"Tris", "EDTA 1 mM"},
	"TAE": {"Tris", "acetic acid 20 mM; EDTA 1 mM"},
	"TBE": {"Tris", "boric acid 89 mM; EDTA 2 mM"},
	"SSC": {"citrate", "NaCl 150 mM"},
}

// asMixture is the question that the short name of a mixture asks; nil for another name.
func asMixture(name string) error {
	m, ok := mixtures[strings.ToUpper(strings.TrimSpace(name))]
	if !ok {
		return nil
	}
	return &recipe.FieldError{What: fmt.Sprintf("%s is a mixture: its buffer is %s", name, m[0]), Hint: fmt.Sprintf("name that, and what else is in it apart: %q", m[1])}
}
