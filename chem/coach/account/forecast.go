package account

import (
	"math"

	"example.org/halfdrop/chem"
)

// Forecast is what the plan alone says, before any reading.
type Forecast struct {
	Start float64 // pH of the beaker as planned; NaN when it cannot be computed
	Aim   float64 // pH the meter should show for the target to hold in use
	// Need is, per stock, the volume in L that leads from Start to Aim; NaN
	// for a stock that leads the other way or can never reach it.
	Need []float64
}

// Forecast computes what the plan predicts; of a beaker that nobody weighed, nothing.
func (b *Bench) Forecast() Forecast {
	f := Forecast{Start: math.NaN(), Aim: b.Target}
	if b.Unweighed {
		for range b.Stocks {
			f.Need = append(f.Need, math.NaN())
		}
		return f
	}
	a := b.AsPlanned()
	x := a.nothing()
	c := a.Beaker(nil, x)
	if e, err := b.Model.Solve(&c); err == nil {
		f.Start = e.PH
	}
	aim := a.Aim(nil, x)
	f.Aim = aim.Shown
	for j := range b.Stocks {
		v := b.Takes(chem.PH(aim.Shown), aim.Medium, &c, &b.Stocks[j].PerLitre)
		if !(v > 0) || math.IsInf(v, 0) {
			v = math.NaN()
		}
		f.Need = append(f.Need, v)
	}
	return f
}

// Takes is the volume, L, of what holds perLitre that takes the charge off a beaker held at a pH,
// in a medium: below 0 or infinite when it does not.
func (b *Bench) Takes(ph chem.PH, md *chem.Medium, c, perLitre *chem.Composition) float64 {
	missing, _ := b.Model.ChargeIn(float64(ph), md, c)
	per, _ := b.Model.ChargeIn(float64(ph), md, perLitre)
	return -missing / per
}
