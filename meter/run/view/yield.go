package view

import (
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem/coach"
)

// OddYields is how many times what the plan says the drops did, 0 where that is as planned as
// far as is known, and what is to be said of it: what may be the cause, which readings do
// not tell, and what tells the causes apart. Titrants are the bottles by their numbers.
func OddYields(yields []coach.Yield, titrants []string) (ratio float64, words string) {
	var names []string
	most := 0.0
	for _, y := range yields {
		if !y.Odd() || len(names) > 0 && (y.Ratio > 1) != (ratio > 1) {
			continue
		}
		names = append(names, titrants[y.Stock])
		if z := math.Abs(math.Log(y.Ratio)) / y.SD; z > most {
			ratio, most = y.Ratio, z
		}
	}
	if len(names) == 0 {
		return 0, ""
	}
	cause := "larger drops or more of them, a stronger stock or less buffer"
	if ratio < 1 {
		cause = "smaller drops or fewer of them, a weaker stock or more buffer"
	}
	return ratio, fmt.Sprintf("a drop of %s did about %.2g times what the plan says: %s; 20 drops on a balance tell their size", strings.Join(names, " and of "), ratio, cause)
}
