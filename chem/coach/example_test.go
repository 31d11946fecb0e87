package coach_test

import (
	"fmt"
	"math"
	"testing"

	"example.org/halfdrop/chem/coach"
)

// The chance that a dose passes aim and tolerance. A beaker takes L to get there, and q is given by
// the label, from a dropper whose drops are known to s. What is given is q·eᶻˢ with a standard
// normal z, so that the chance is 1−Φ(ln(L/q)/s) (the definition of the log-normal). With
// ln(L/q) = 2.5 s that is 1−Φ(2.5) = 0.0062 of careful hands; of those that are not, 14 in a
// hundred, whose drops vary 2.2 times as much, 1−Φ(1.136) = 0.128 (tables of Φ: Abramowitz &
// Stegun 1964, table 26.1):
//
//	0.86 · 0.0062 + 0.14 · 0.128 = 0.0232
func ExampleBench_Advise_chance() {
	t := &testing.T{}
	const s, q = 0.08, 0.25 * plainMol
	b, shown := plain(t, 0.3, 0.6)
	at, _ := b.Model.Solve(ptrTo(b.Water.Plus(1, withCharge(b.Weighed, q*math.Exp(2.5*s)))))
	b.Target = at.PH - b.Tolerance
	b.Stocks[0] = plainStock("base", q) // in one drop
	b.Stocks[0].DropSD = s
	got := b.Risk(coach.History{Observations: []coach.Observation{{PH: shown, SD: 2e-4}}}, 0, 1)
	fmt.Println("within a third of 0.0232:", math.Abs(math.Log(got/0.0232)) < 0.3)
	// Output:
	// within a third of 0.0232: true
}

// Where the next reading will end, given what the first dose did. Drops known to 10 % brought
// the beaker from x = 0.30 of its acid neutralised to 0.52, where 0.50 was planned: 1.10 times
// their label, seen by readings good to 0.005 pH, each the buffer capacity times that of charge,
//
//	s = 0.005 · ln 10 · √((0.30·0.70)² + (0.52·0.48)²) / 0.20 = 0.0188
//
// of what was given. Two Gaussians make one (precisions add): ln of the factor is
//
//	ln 1.10 · 0.10²/(0.10² + 0.0188²) = 0.0921, a factor of 1.096
//
// so that half of that dose again brings x to 0.52 + 0.10 · 1.096 = 0.630 and the pH to
// pK′ + lg(0.630/0.370) = pK′ + 0.23 (Henderson–Hasselbalch).
func ExampleBench_Landing() {
	t := &testing.T{}
	b, _ := plain(t, 0.3, 0.7)
	at := func(x float64) float64 { _, shown := plain(t, x, 0.7); return shown }
	b.Stocks[0].DropSD = 0.10
	h := coach.History{
		Additions:    []coach.Addition{plainDose(0.20 * plainMol / 0.05e-3)},
		Observations: []coach.Observation{{PH: at(0.30), SD: 0.005}},
	}
	after, _, _ := b.Landing(coach.Request{History: h, Now: settled(at(0.52), 0.005)}, plainDose(0.10*plainMol/0.05e-3))
	fmt.Printf("pK′ %+.2f\n", after-at(0.5))
	// Output:
	// pK′ +0.23
}
