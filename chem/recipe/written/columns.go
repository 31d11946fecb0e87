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

// agree is how far two figures of one row may be apart, as a part of the larger:
// people round what they weigh.
const agree = 0.03

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
		if math.Abs(want-grams) <= agree*math.Max(want, grams) {
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

// ofColumns takes the strength in the whole out of a row that gives that of the
// stock and its volume as well: "Tris pH 8.0 | 1 M | 50 mM | 50 mL". Where the three
// do not go together, that is said.
func ofColumns(text string, final chem.Volume, known bool) (string, error) {
	var strengths []int
	value := map[int]float64{}
	volume := 0.0
	at := quantity.Pattern.FindAllStringSubmatchIndex(text, -1)
	for i, m := range at {
		unit := ""
		if m[8] >= 0 {
			unit = text[m[8]:m[9]]
		}
		k, scale, err := quantity.Unit("", "", unit)
		switch {
		case err != nil:
			return text, nil
		case k == quantity.OfStrength:
			strengths = append(strengths, i)
			value[i] = scale * quantity.Number(text[m[2]:m[3]])
		case k == quantity.OfVolume && volume == 0:
			volume = scale * quantity.Number(text[m[2]:m[3]])
		default:
			return text, nil
		}
	}
	if len(strengths) != 2 || !(volume > 0) {
		return text, nil
	}
	stock, whole := strengths[0], strengths[1]
	if value[whole] > value[stock] {
		stock, whole = whole, stock
	}
	if got := value[stock] * volume / final.Litres(); known && math.Abs(got-value[whole]) > agree*math.Max(got, value[whole]) {
		return "", &recipe.FieldError{What: fmt.Sprintf("%s mL of %s M in %s mL is %s mM, not %s mM", chem.Digits(1e3*volume, 4), chem.Digits(value[stock], 3), chem.Digits(final.Millilitres(), 4), chem.Digits(1e3*got, 3), chem.Digits(1e3*value[whole], 3)), Hint: "one of the figures or the volume is wrong"}
	}
	m := at[whole]
	return strings.NewReplacer("(", " ", ")", " ").Replace(text[:m[2]] + " " + text[m[9]:]), nil
}
