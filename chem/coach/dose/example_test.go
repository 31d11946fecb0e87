package dose_test

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// The chance that a dose passes aim and tolerance. A beaker takes L to get there, and q is given by
// the label, from a dropper whose drops are known to s. What is given is q·eᶻˢ with a standard
// normal z, so that the chance is 1−Φ(ln(L/q)/s) (the definition of the log-normal). With
// ln(L/q) = 2.5 s that is 1−Φ(2.5) = 0.0062 of careful hands; of those that are not, 14 in a
// hundred, whose drops vary 2.2 times as much, 1−Φ(1.136) = 0.128 (tables of Φ: Abramowitz &
// Stegun 1964, table 26.1):
//
//	0.86 · 0.0062 + 0.14 · 0.128 = 0.0232
func ExampleDosing_Chance() {
	const s, q = 0.08, 0.25 * coachtest.Mol
	b, shown := coachtest.Plain(0.3, 0.6)
	at, _ := b.Model.Solve(ptrTo(b.Water.Plus(1, withCharge(b.Weighed, q*math.Exp(2.5*s)))))
	b.Target = at.PH - b.Tolerance
	b.Stocks[0] = coachtest.Stock("base", q) // in one drop
	b.Stocks[0].DropSD = s
	got := risk(b, coach.History{Observations: []coach.Observation{{PH: shown, SD: 2e-4}}}, 0, 1)
	fmt.Println("within a third of 0.0232:", math.Abs(math.Log(got/0.0232)) < 0.3)
	// Output:
	// within a third of 0.0232: true
}
