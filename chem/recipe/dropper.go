package recipe

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/table"
)

// Drop is a drop as measured by weighing.
type Drop struct {
	UL    float64 // µL
	SDPct float64 // one standard deviation, percent: of this dropper in this hand
	// Scatter is the standard deviation of the weighings, percent of their
	// mean; NaN for a single one.
	Scatter float64
}

// The spread of a weighed drop: 10 % for one weighing, since the same dropper
// gives drops up to 15 % off in use (USP <1101>); where three weighings or more
// agree, twice their own scatter but not below 5 % (a choice of this project).
const leastDropSDPct = 5.0

// MeasureDrop is the size of a drop from one or several weighings, in grams, of
// so many drops each, of a liquid of a density in g/mL.
func MeasureDrop(drops int, grams []float64, density float64) (Drop, error) {
	var bad Problems
	if drops < 5 || drops > 1000 {
		bad.Add("drops", fmt.Sprintf("%d drops: must be 5 to 1000", drops), "20 drops are usual: with fewer the error of the balance shows")
	}
	if !(density > 0.6 && density < 2) {
		bad.Add("density", fmt.Sprintf("%g g/mL is outside 0.6–2", density), "dilute solutions have about 1.0")
	}
	if len(grams) == 0 {
		bad.Add("grams", "no weighing", "give the mass of the drops together, in grams")
	}
	if len(bad) > 0 {
		return Drop{}, bad
	}
	var list []float64
	for _, g := range grams {
		ul := 1e3 * g / density / float64(drops)
		if !(ul >= 1 && ul <= 500) {
			bad.Add("grams", fmt.Sprintf("%g g for %d drops makes drops of %s µL: 1 to 500 µL are possible", g, drops, chem.Digits(ul, 3)), "give the mass of all the drops together, in grams: 20 drops of water are about 1 g")
			return Drop{}, bad
		}
		list = append(list, ul)
	}
	mean, sd := meanOf(list)
	d := Drop{UL: mean, SDPct: MeasuredDropSDPct, Scatter: 100 * sd / mean}
	if len(list) >= 3 {
		d.SDPct = math.Max(leastDropSDPct, 2*d.Scatter)
	}
	if (slices.Max(list)-slices.Min(list))/mean > 0.3 {
		bad.Add("grams", fmt.Sprintf("the weighings differ by %.0f %%", 100*(slices.Max(list)-slices.Min(list))/mean), "hold the dropper upright, let the drops fall freely, and count again")
		return Drop{}, bad
	}
	return d, nil
}

// meanOf is the mean and the standard deviation of a sample; NaN for one value.
func meanOf(x []float64) (mean, sd float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	if len(x) < 2 {
		return mean, math.NaN()
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean) / float64(len(x)-1)
	}
	return mean, math.Sqrt(sd)
}

// Density is about that of a solution of a reagent, g/mL: from the room that it
// takes up in water, and, where it is sold as a concentrate, on a curve that
// meets that. It is good to half a percent up to 3 mol/L.
func Density(r table.Reagent, c chem.Molarity, t chem.Celsius) float64 {
	water := chem.WaterDensity(t)
	x := float64(c)
	if len(r.Stocks) == 0 || r.Form == "liquid" {
		return density(r, c, t)
	}
	rise := density(r, 1, t) - water
	const at20 = 0.9982 // water, to which the densities of concentrates refer
	s := r.Stocks[0]
	m := float64(s.Molar)
	bend := (s.Density - at20 - rise*m) / (m*m - m)
	return water + (rise-bend)*x + bend*x*x
}

// density is that of a solution by the volumes of what is in it.
func density(r table.Reagent, c chem.Molarity, t chem.Celsius) float64 {
	s := chem.Mix(chem.Solution{Volume: chem.Litre, Temp: t}, r.Dissolved(c.In(chem.Litre)).At(t))
	return s.WaterMass().Kilograms() + table.DryMass(r).Of(c.In(chem.Litre)).Kilograms()
}
