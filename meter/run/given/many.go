package given

import (
	"fmt"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
)

// MostDrops is how many drops anybody is asked to count in one go, a choice of this project:
// more of them, four minutes at one a second, are a sign of a bottle that is too weak.
const MostDrops = 250

// Uncountable reports whether no hand counts the drops of an addition.
func Uncountable(setup *recipe.Setup, a coach.Advice) bool {
	return a.Drops > MostDrops && !setup.Stocks[a.Stock].ByML
}

// fewDrops are those that a bottle which is strong enough does it in.
const fewDrops = 40

// strengths are those that people make of a titrant, mol/L.
var strengths = [...]float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5}

// Stronger is a bottle of the same titrant that does an addition in few drops, or comes
// nearest to that; empty where the bottle is as strong as any.
func Stronger(setup *recipe.Setup, a coach.Advice) string {
	st := setup.Stocks[a.Stock]
	best := 0.0
	for _, m := range strengths {
		if m > 1.5*float64(st.Molar) && best < float64(st.Molar)*a.Drops/fewDrops {
			best = m
		}
	}
	if best == 0 {
		return ""
	}
	return fmt.Sprintf("%s %g M", st.Reagent.Name, best)
}
