package run

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// closedBy is the history with a reading of the present composition as its last.
func (s *State) closedBy(est probe.Estimate) coach.History {
	h := s.history()
	h.Observations = append(slices.Clip(h.Observations), coach.Observation{After: len(h.Additions), PH: est.End, SD: est.SD})
	return h
}

// oddly is how many times what the plan says the drops did, 0 where that is as planned as
// far as is known, and what is to be said of it: what may be the cause, which readings do
// not tell, and what tells the causes apart.
func (s *State) oddly() (ratio float64, words string) {
	var names []string
	most := 0.0
	for _, y := range s.yields {
		if !y.Odd() || len(names) > 0 && (y.Ratio > 1) != (ratio > 1) {
			continue
		}
		names = append(names, s.Setup.Stocks[y.Stock].Name)
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
