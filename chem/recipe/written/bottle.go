package written

import (
	"fmt"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/buffer"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

// ReadBottle reads "NaOH 1 M", and "NaOH 0.1 M, bottle K4" for one that is remembered under
// that name. The error is of type Problems.
func ReadBottle(text string) (buffer.Bottle, error) {
	var bad recipe.Problems
	known := ""
	if i := strings.Index(strings.ToLower(text), ", bottle "); i > 0 {
		text, known = text[:i], strings.TrimSpace(text[i+len(", bottle "):])
	}
	if m := phWords.FindString(text); m != "" {
		bad.Add("stock", fmt.Sprintf("%q: a solution in stock cannot have a pH of its own here", text), "leave the pH out: what it was brought to its pH with is made up for when the whole is titrated")
		return buffer.Bottle{}, bad
	}
	name, got, err := quantity.In(text)
	molar, ok := got[quantity.OfStrength]
	switch {
	case err != nil:
		bad.Add("stock", fmt.Sprintf("%q: %s", text, err), recipe.Hint(err))
	case len(got) == 1 && gramsPerLitre(name, got) > 0:
		r, n, err := table.FromMass(name, chem.Mass(gramsPerLitre(name, got)), 1)
		if err == nil {
			err = table.StaysDissolved(r, n)
		}
		if err != nil {
			bad.Add("stock", fmt.Sprintf("%q: %s", text, recipe.Message(err)), recipe.Hint(err))
			return buffer.Bottle{}, bad
		}
		return buffer.Bottle{Reagent: r, Molar: chem.Molarity(n), Known: known}, nil
	case len(got) == 1 && got[quantity.OfShare] > 0:
		return bottleOf(name, 100*got[quantity.OfShare], text, known)
	case !ok || len(got) != 1 || !(molar > 0):
		bad.Add("stock", fmt.Sprintf("%q: it needs a reagent and a strength", text), `as in "NaOH 1 M"`)
	}
	if len(bad) > 0 {
		return buffer.Bottle{}, bad
	}
	r, err := table.ByAmount(name)
	if err != nil {
		bad.Add("stock", fmt.Sprintf("%q: %s", text, recipe.Message(err)), recipe.Hint(err))
		return buffer.Bottle{}, bad
	}
	return buffer.Bottle{Reagent: r, Molar: chem.Molarity(molar), Known: known}, nil
}

// gramsPerLitre is the strength of a bottle that is said by mass, "NaN3 2 %", "SDS 100 g/L"; 0
// where it is not, or the percentage is that of an acid or base as it is sold.
func gramsPerLitre(name string, got map[quantity.Kind]float64) float64 {
	share := got[quantity.OfShare]
	if r, err := table.ByAmount(name); err != nil || r.Form == "liquid" || len(r.Stocks) > 0 {
		share = 0
	}
	return got[quantity.OfMassConc] + 1e3*(got[quantity.OfWeightShare]+share)
}

// bottleOf is a bottle as it is sold, by its percentage of mass.
func bottleOf(name string, percent float64, text, known string) (buffer.Bottle, error) {
	var bad recipe.Problems
	r, err := table.ByAmount(name)
	if err != nil {
		bad.Add("stock", fmt.Sprintf("%q: %s", text, recipe.Message(err)), recipe.Hint(err))
		return buffer.Bottle{}, bad
	}
	x := Part{Ingredient: buffer.Ingredient{Reagent: r}, Text: text}
	if err := x.concentrate(percent, chem.Litre, &Reading{}); err != nil {
		bad.Add("stock", fmt.Sprintf("%q: %s", text, recipe.Message(err)), recipe.Hint(err))
		return buffer.Bottle{}, bad
	}
	return buffer.Bottle{Reagent: r, Molar: chem.Molarity(x.Amount), Known: known}, nil
}
