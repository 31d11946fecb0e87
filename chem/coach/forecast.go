package coach

import "math"

// Forecast is what the plan alone says, before any reading.
type Forecast struct {
	Start float64 // pH of the beaker as planned
	Aim   float64 // pH the meter should show for the target to hold in use
	Shift float64 // Aim minus target: dilution to the mark and temperature
	// Need is, per stock, the volume in L that leads from Start to Aim; NaN
	// for a stock that leads the other way or can never reach it.
	Need []float64
}

// Forecast computes what the plan predicts.
func (b *Bench) Forecast() Forecast {
	h := b.hypothesis(nil, cares[0], 1)
	x := make([]float64, len(b.priors(&h)))
	c := b.beaker(&h, nil, 0, x)
	f := Forecast{Start: math.NaN(), Aim: b.Target}
	if e, err := b.Model.Solve(&c); err == nil {
		f.Start = e.PH
	}
	a := b.aimOf(&h, History{}, x)
	f.Aim, f.Shift = a.shown, a.shift
	for j := range b.Stocks {
		missing, _ := b.Model.ChargeIn(a.shown, a.strength, &c)
		per, _ := b.Model.ChargeIn(a.shown, a.strength, &b.Stocks[j].PerLitre)
		v := -missing / per
		if !(v > 0) || math.IsInf(v, 0) {
			v = math.NaN()
		}
		f.Need = append(f.Need, v)
	}
	return f
}
