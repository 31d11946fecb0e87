package written

import (
	"fmt"
	"regexp"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/table"
)

// What is left out of account, and amounts that are none.

// leaveOut notes what is left out of account, if a part is such a thing.
func (r *Reading) leaveOut(p string) bool {
	words := "it is in no table here"
	switch {
	case traceOf.MatchString(p):
		words = "too little of it to move a pH"
	case !uncounted.MatchString(p):
		name, _, err := quantities(p)
		var ok bool
		if words, ok = table.Apart(name); err != nil {
			return false
		}
		r.Aldehyde = r.Aldehyde || table.Aldehyde(name)
		if !ok {
			if words, ok = table.Digest(name); !ok {
				return false
			}
			r.digest = p
		}
	}
	r.Notes = append(r.Notes, fmt.Sprintf("%q is left out of account: %s", p, words))
	r.Apart = append(r.Apart, fmt.Sprintf("%s (%s)", p, words))
	if _, got, err := quantities(p); err == nil {
		r.beside += chem.Volume(got[ofVolume])
	}
	return true
}

// figureAndWord is a figure with a word behind it, which may be a unit.
var figureAndWord = regexp.MustCompile(`(\s[-−])?\s*([0-9]+(?:[.,][0-9]+)?)\s*([\pL°%/]+)`)

// strangeAmount says of a reagent that is known what is wrong with its figure: it is below
// zero, or in a unit that no amount has.
func strangeAmount(text string) error {
	m := figureAndWord.FindStringSubmatch(text)
	if m == nil || !isReagent(strings.TrimSpace(strings.Replace(text, m[0], " ", 1))) {
		return nil
	}
	if m[1] != "" {
		return &recipe.FieldError{What: fmt.Sprintf("−%s %s: an amount is above zero", m[2], m[3]), Hint: "leave out the minus; what is not in it is left out altogether"}
	}
	return &recipe.FieldError{What: fmt.Sprintf("%q is no unit of an amount here", m[3]), Hint: "M, mM, µM, mol, mmol, g, mg, g/L, mg/mL, mL of a liquid, or %"}
}

func (r *Reading) reagents() (out []table.Reagent) {
	for _, p := range r.Parts {
		out = append(out, p.Reagent)
	}
	return out
}
