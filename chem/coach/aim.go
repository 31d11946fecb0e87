package coach

import (
	"math"

	"example.org/halfdrop/chem"
)

// aim is what the meter has to show now for the target to hold in use.
type aim struct {
	shown  float64      // pH on the meter, in the beaker as it is
	medium *chem.Medium // of the beaker there
}

// aimOf finds the composition that has the target pH when made up to the mark
// and at the temperature of use, and what the meter shows for it here and now.
// The meter is the authority: the target is a pH as this meter would show it.
func (b *Bench) aimOf(h *hypothesis, hist History, x []float64) aim {
	now := b.beaker(h, hist.Additions, len(hist.Additions), x)
	ph := b.Target - x[iShift]
	var use chem.Medium
	j := b.towards(h, ph, &now, &use)
	v := 0.0
	here := new(chem.Medium)
	for range 4 {
		c := now.Plus(v, h.stocks[j])
		up := c
		up.Water = math.Max(c.Water, b.FinalKg)
		bal := b.Use.BalanceIn(ph, &use, &up)
		f, _ := b.Use.ChargeIn(ph, &use, &h.stocks[j])
		dv := -bal.Charge / f
		if math.IsNaN(dv) || math.IsInf(dv, 0) {
			break
		}
		v += dv
		if math.Abs(dv) < 1e-7*math.Abs(v)+1e-12 {
			break
		}
	}
	c := now.Plus(v, h.stocks[j])
	if b.Use == b.Model {
		*here = use
	}
	e, err := b.Model.SolveIn(&c, ph, here)
	if err != nil || c.Water <= 0 {
		*here = b.Model.Salt(now.Strength / now.Water / 2)
		return aim{shown: b.Target, medium: here}
	}
	return aim{shown: e.PH + x[iShift], medium: here}
}

// towards is the stock that would bring the beaker to the pH: the one whose
// own charge there is opposite to the beaker's and largest. It leaves the medium
// there.
func (b *Bench) towards(h *hypothesis, ph float64, now *chem.Composition, md *chem.Medium) int {
	return b.leads(h, ph, md, -sign(b.Use.BalanceIn(ph, md, now).Charge))
}

// leads is the stock with the largest charge of a sign in a medium.
func (b *Bench) leads(h *hypothesis, ph float64, md *chem.Medium, side float64) int {
	best, most := 0, math.Inf(-1)
	for j := range h.stocks {
		f, _ := b.Use.ChargeIn(ph, md, &h.stocks[j])
		if f *= side; f > most {
			best, most = j, f
		}
	}
	return best
}

func sign(x float64) float64 {
	if x < 0 {
		return -1
	}
	return 1
}
