package written

import (
	"fmt"
	"regexp"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written/quantity"
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
		name, _, err := quantity.In(p)
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
	if _, got, err := quantity.In(p); err == nil {
		r.beside += chem.Volume(got[quantity.OfVolume])
	}
	return true
}

// carbonic is a gas with carbon dioxide: "5 % CO2", "in a 5% CO2 atmosphere".
var carbonic = regexp.MustCompile(`(?i)^(?:(?:in|under|with|at|and|an?|the|/|,)\s+)*([0-9]+(?:\.[0-9]+)?)\s*%\s*(?:of\s+)?(?:CO2|CO₂|carbon\s+dioxide)(?:\s+(?:gas|atmosphere|in\s+air|in\s+O2|incubator|balance\s+\pL[\pL0-9]*|(?:/\s*)?[0-9.]+\s*%\s*(?:O2|N2|air)))*\.?$`)

// gas reads how much carbon dioxide is in the gas that it is kept under.
func (r *Reading) gas(p string) bool {
	m := carbonic.FindStringSubmatch(strings.Trim(p, " ()"))
	if m == nil || !(quantity.Number(m[1]) > 0 && quantity.Number(m[1]) <= 100) {
		return false
	}
	r.Gas = quantity.Number(m[1]) / 100
	r.Notes = append(r.Notes, fmt.Sprintf("it is taken as kept under a moist gas with %s %% of carbon dioxide at 1 atm, until nothing changes any more", chem.Digits(100*r.Gas, 3)))
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
