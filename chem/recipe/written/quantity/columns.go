package quantity

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
)

// Agree is how far two figures of one row may be apart, as a part of the larger:
// people round what they weigh.
const Agree = 0.03

// OfColumns takes the strength in the whole out of a row that gives that of the
// stock and its volume as well: "Tris pH 8.0 | 1 M | 50 mM | 50 mL". Where the three
// do not go together, that is said.
func OfColumns(text string, final chem.Volume, known bool) (string, error) {
	var strengths []int
	value := map[int]float64{}
	volume := 0.0
	at := Pattern.FindAllStringSubmatchIndex(text, -1)
	for i, m := range at {
		unit := ""
		if m[8] >= 0 {
			unit = text[m[8]:m[9]]
		}
		k, scale, err := Unit("", "", unit)
		switch {
		case err != nil:
			return text, nil
		case k == OfStrength:
			strengths = append(strengths, i)
			value[i] = scale * Number(text[m[2]:m[3]])
		case k == OfVolume && volume == 0:
			volume = scale * Number(text[m[2]:m[3]])
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
	if got := value[stock] * volume / final.Litres(); known && math.Abs(got-value[whole]) > Agree*math.Max(got, value[whole]) {
		return "", &recipe.FieldError{What: fmt.Sprintf("%s mL of %s M in %s mL is %s mM, not %s mM", chem.Digits(1e3*volume, 4), chem.Digits(value[stock], 3), chem.Digits(final.Millilitres(), 4), chem.Digits(1e3*got, 3), chem.Digits(1e3*value[whole], 3)), Hint: "one of the figures or the volume is wrong"}
	}
	m := at[whole]
	return strings.NewReplacer("(", " ", ")", " ").Replace(text[:m[2]] + " " + text[m[9]:]), nil
}
