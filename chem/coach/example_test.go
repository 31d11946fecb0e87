package coach_test

import (
	"fmt"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

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
	b, _ := coachtest.Plain(0.3, 0.7)
	at := func(x float64) float64 { _, shown := coachtest.Plain(x, 0.7); return shown }
	b.Stocks[0].DropSD = 0.10
	h := coach.History{
		Additions:    []coach.Addition{coachtest.Dose(0.20 * coachtest.Mol / 0.05e-3)},
		Observations: []coach.Observation{{PH: at(0.30), SD: 0.005}},
	}
	after, _, _ := b.Landing(coach.Request{History: h, Now: coachtest.Settled(at(0.52), 0.005)}, coachtest.Dose(0.10*coachtest.Mol/0.05e-3))
	fmt.Printf("pK′ %+.2f\n", after-at(0.5))
	// Output:
	// pK′ +0.23
}
