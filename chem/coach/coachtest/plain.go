// Package coachtest has benches for the tests of the coach and its rooms: one of worked
// numbers, random ones, and some that are planned. What cannot be computed is a panic.
package coachtest

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/account"
)

// The plain beaker of worked numbers: 10 mmol of an acid with one step in 100 g of water,
// brought to its pK′ and beyond with a base of which nothing else is known than the spreads
// that a test gives it. With x = q/C of the acid neutralised, whatever the activities,
//
//	pH = pK′ + lg(x/(1−x))                 (Henderson–Hasselbalch)
//	dq/dpH = ln 10 · C · x·(1−x)           (Van Slyke, J. Biol. Chem. 52 (1922) 525, eq. 4)
//
// with water itself, at pH 7, a 50,000th of that.
const (
	Mol = 0.010 // of the acid
	pk  = 7.0
)

// Drop is a drop of every bottle here.
const Drop = 50 * chem.Microlitre

// Capacity is the buffer capacity of the plain beaker, mol per pH, where x of its acid
// is neutralised.
func Capacity(x float64) float64 { return math.Ln10 * Mol * x * (1 - x) }

// Way is how far, pH, it is from x to another x.
func Way(from, to float64) float64 {
	return math.Log10(to/(1-to)) - math.Log10(from/(1-from))
}

// Plain is that beaker with x of its acid neutralised and the target where aim of it is, so
// exactly as planned that it takes no spread but those of scale and drops; shown is what a
// perfect meter shows at the start. Its bottle brings 0.05 mmol a drop.
func Plain(x, aim float64) (b *coach.Bench, shown float64) {
	m := model(&chem.System{Name: "acid", Steps: []chem.Step{{PK: pk}}})
	at := func(x float64) (chem.Composition, float64) {
		// The ions of a salt that was added beside, so that the ionic strength is the same all the way.
		w := chem.Composition{Totals: [chem.MaxSystems]float64{Mol}, Charge: x * Mol, Strength: Mol}
		c := chem.Composition{Water: 0.1}.Plus(1, w)
		return w, PH(m, c)
	}
	weighed, shown := at(x)
	_, target := at(aim)
	b = &coach.Bench{Bench: account.Bench{
		Model: m, Use: m, Weighed: weighed, Water: chem.Composition{Water: 0.1}, AmountSD: 1e-6,
		Start: 100 * chem.Millilitre, Final: 1000 * chem.Millilitre, FinalKg: 0.1, Target: target, Tolerance: 0.02,
		Stocks: []coach.Stock{Stock("base", 0.05e-3)},
	}}
	return b, shown
}

// Fine is the plain beaker so far below the aim, pH, with a bottle of which a drop does a
// hundredth of the tolerance and which is known to so much, relative.
func Fine(way, known float64) (b *coach.Bench, shown float64) {
	x := 1 / (1 + math.Pow(10, way)) // that far below the pK
	b, shown = Plain(x, 0.5)
	b.Stocks[0] = Stock("base", 0.0002*Capacity(0.5))
	b.Stocks[0].DropSD = known
	return b, shown
}

// Stock brings so much charge a drop, mol, with nothing to be in doubt of; it brings no
// water and no ionic strength, so that the beaker stays what it is.
func Stock(name string, perDrop float64) coach.Stock {
	return coach.Stock{
		Name: name, PerLitre: chem.Composition{Charge: perDrop / Drop.Litres()}, Molarity: chem.Molarity(perDrop / Drop.Litres()),
		Drop: Drop, DropSD: 1e-6, StrengthSD: 1e-6, ScatterSD: 1e-6,
	}
}

// Dose is an addition of so many drops of the first bottle.
func Dose(drops float64) coach.Addition {
	return coach.Addition{Volume: chem.Volume(drops) * Drop, Drops: drops}
}

// Settled is a reading that waiting makes no better.
func Settled(ph, sd float64) coach.Present {
	return coach.Present{PH: ph, Shown: ph, SD: sd, FinalSD: sd, Settled: true, Age: 300}
}

// AtRest is a request on a reading at rest, known to 0.01.
func AtRest(h coach.History, ph float64) coach.Request {
	return coach.Request{History: h, Now: coach.Present{PH: ph, SD: 0.01, FinalSD: 0.01, Shown: ph, Settled: true, Age: 60}}
}

// Nearby is a bench that has had a dose of which little was known, so that where it is now
// is known by the reading alone; at is what a meter shows there, so much off the aim.
func Nearby(off float64) (b *coach.Bench, h coach.History, at float64) {
	b, shown := Fine(0.3, 0.3)
	h = coach.History{Additions: []coach.Addition{Dose(1500)}, Observations: []coach.Observation{{PH: shown, SD: 0.003}}}
	return b, h, b.Target + off
}

// Bottle is a mistake with the first bottle: so many times as strong as labelled.
func Bottle(b *coach.Bench, code string, prior, times float64) coach.Mistake {
	c := b.Stocks[0].PerLitre
	c.Charge *= times
	return coach.Mistake{Name: code, Code: code, Prior: prior, Stock: 1, PerLitre: &c}
}

// Doubled is a bench whose bottle was twice as strong as labelled, after a first dose, with
// the accounts of it that are given; now is what a meter shows.
func Doubled(priors ...float64) (b *coach.Bench, h coach.History, now float64) {
	b, shown := Plain(0.2, 0.5)
	for i, p := range priors {
		b.Mistakes = append(b.Mistakes, Bottle(b, fmt.Sprintf("account %d", i+1), p, 2))
	}
	b.Stocks[0].StrengthSD = 0.04
	h = coach.History{Additions: []coach.Addition{Dose(20)}, Observations: []coach.Observation{{PH: shown, SD: 0.003}}}
	return b, h, shown + Way(0.2, 0.4)
}

// LargeDrop is a beaker of 10 mmol Tris, short of the target by so much, with
// one bottle of which a drop moves the pH by 0.026.
func LargeDrop(missing float64) (b *coach.Bench, shown float64) {
	m := model(steps[1])
	weighed := chem.Composition{Totals: [chem.MaxSystems]float64{0.010}, Charge: -0.005, Strength: 0.005}
	b = &coach.Bench{Bench: account.Bench{
		Model: m, Use: m, Weighed: weighed, Water: chem.Composition{Water: 0.1}, Buffer: 0.010,
		Start: 100 * chem.Millilitre, Final: 101 * chem.Millilitre, FinalKg: 0.101, Tolerance: 0.02,
		Stocks: []coach.Stock{strong(3, 1)}, // 0.15 mmol a drop; 10 mmol Tris at its pK takes 5.8 mmol per pH
	}}
	b.Stocks[0].DropSD = 0.05 // a dropper that was weighed
	shown = PH(m, b.Water.Plus(1, weighed))
	b.Target = shown + missing
	return b, shown
}

// PH of a composition.
func PH(m *chem.Model, c chem.Composition) float64 {
	e, err := m.Solve(&c)
	if err != nil {
		panic(err)
	}
	return e.PH
}

func model(s *chem.System) *chem.Model {
	m, err := chem.NewModel(25, []*chem.System{s})
	if err != nil {
		panic(err)
	}
	return m
}
