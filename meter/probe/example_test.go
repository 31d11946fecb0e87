package probe_test

import (
	"fmt"
	"math"

	"example.org/halfdrop/meter/probe"
)

// Where a reading on its way will end. An electrode with one time constant comes from 6.00 to
// 7.00 as y(t) = 7.00 − e^(−t/6 s), and three values at equal times tell the end by hand
// (A. C. Aitken, Proc. R. Soc. Edinburgh 46 (1926) 289, from memory): of y(2) = 6.28347,
// y(4) = 6.48658 and y(6) = 6.63212
//
//	y∞ = (y₁·y₃ − y₂²)/(y₁ + y₃ − 2·y₂) = (41.67273 − 42.07576)/(−0.05757) = 7.00
//
// So it is by the posterior, which allows for a late part besides that nobody has seen yet.
func ExampleTracker_Estimate() {
	y := func(t float64) float64 { return 7 - math.Exp(-t/6) }
	k := probe.Track(probe.Unknown()).Resolve(0.001)
	for t := 0.0; t <= 6; t++ {
		k = k.Push(t, math.Round(y(t)*1000)/1000)
	}
	e := k.Estimate(6)
	a, b, c := y(2), y(4), y(6)
	fmt.Printf("shown %.2f, by hand %.2f\n", y(6), (a*c-b*b)/(a+c-2*b))
	fmt.Println("by the posterior, within 0.1:", math.Abs(e.End-7) < 0.1)
	fmt.Println("within two of its spreads:", math.Abs(e.End-7) < 2*e.SD, "and sure to 0.3:", e.SD < 0.3)
	// Output:
	// shown 6.63, by hand 7.00
	// by the posterior, within 0.1: true
	// within two of its spreads: true and sure to 0.3: true
}
