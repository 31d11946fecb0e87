package account

import (
	"math"

	"example.org/halfdrop/chem"
)

// Aim is what the meter has to show now for the target to hold in use.
type Aim struct {
	Shown  float64      // pH on the meter, in the beaker as it is
	Medium *chem.Medium // of the beaker there
}

// Aim finds the composition that has the target pH when made up to the mark
// and at the temperature of use, and what the meter shows for it here and now.
// The meter is the authority: the target is a pH as this meter would show it.
func (a *Account) Aim(adds []Addition, x []float64) Aim {
	b := a.bench
	now := a.Beaker(adds, x)
	ph := b.Target - x[Shift]
	var use chem.Medium
	j, _ := a.Towards(chem.PH(ph), &now, &use)
	v := 0.0
	here := new(chem.Medium)
	for range 4 {
		c := now.Plus(v, a.Stocks[j])
		up := c
		up.Water = math.Max(c.Water, b.FinalKg)
		bal := b.Use.BalanceIn(ph, &use, &up)
		f, _ := b.Use.ChargeIn(ph, &use, &a.Stocks[j])
		dv := -bal.Charge / f
		if math.IsNaN(dv) || math.IsInf(dv, 0) {
			break
		}
		v += dv
		if math.Abs(dv) < 1e-7*math.Abs(v)+1e-12 {
			break
		}
	}
	c := now.Plus(v, a.Stocks[j])
	if b.Use == b.Model {
		*here = use
	}
	e, err := b.Model.SolveIn(&c, ph, here)
	if err != nil || c.Water <= 0 {
		*here = b.Model.Salt(now.Strength / now.Water / 2)
		return Aim{Shown: b.Target, Medium: here}
	}
	return Aim{Shown: e.PH + x[Shift], Medium: here}
}

// Towards is the stock that would bring the beaker to the pH: the one whose
// own charge there is opposite to the beaker's and largest, and the sign of that, 1 or -1. It
// leaves the medium there.
func (a *Account) Towards(ph chem.PH, now *chem.Composition, md *chem.Medium) (stock int, side float64) {
	side = -Sign(a.bench.Use.BalanceIn(float64(ph), md, now).Charge)
	return a.Strongest(ph, md, side), side
}

// Strongest is the stock with the largest charge of a sign, 1 or -1, in a medium.
func (a *Account) Strongest(ph chem.PH, md *chem.Medium, side float64) int {
	best, most := 0, math.Inf(-1)
	for j := range a.Stocks {
		f, _ := a.bench.Use.ChargeIn(float64(ph), md, &a.Stocks[j])
		if f *= side; f > most {
			best, most = j, f
		}
	}
	return best
}

// UnweighedAim is the target as the meter shows it, in some salt: where nobody knows what is
// in the beaker, nobody can tell what making it up or another temperature would do.
func (b *Bench) UnweighedAim() Aim {
	md := b.Model.Salt(0.1)
	return Aim{Shown: b.Target, Medium: &md}
}

// Sign is -1 below 0, else 1.
func Sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}
