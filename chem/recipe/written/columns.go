package written

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/recipe/written/quantity"
	"example.org/halfdrop/chem/table"
)

// bothWays is a mass beside the strength that it is to give, as tables have them:
// "NaCl 150 mM 8.77 g". The hydrate is the one that fits; where none does, one of
// the figures is wrong, and that is said.
func (x *Part) bothWays(name string, strength chem.Molarity, mass chem.Mass, final chem.Volume) error {
	list, err := table.Find(name)
	if err != nil {
		return err
	}
	var say []string
	for _, r := range list {
		if !r.Definite() {
			continue
		}
		n, grams := strength.In(final), mass.Grams()
		want := r.MolarMass.Of(n).Grams()
		if math.Abs(want-grams) <= quantity.Agree*math.Max(want, grams) {
			x.Reagent, x.Amount = r, r.MolarMass.In(mass)
			return nil
		}
		say = append(say, fmt.Sprintf("%s g of %s", chem.Digits(want, 3), r.FullName()))
	}
	if len(say) == 0 {
		return &recipe.FieldError{What: name + " is a mixture without a molar mass", Hint: "give it in g, in % w/v or in % v/v"}
	}
	return &recipe.FieldError{What: fmt.Sprintf("%s mM in %s mL is %s, not %s g", chem.Digits(1e3*float64(strength), 4), chem.Digits(final.Millilitres(), 4), strings.Join(say, " or "), chem.Digits(mass.Grams(), 4)), Hint: "one of the figures or the volume is wrong: give one amount"}
}
