package belief

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/normal"
)

// Goal is a shown pH as seen from one account: the charge that is missing
// there, its spread, and what a litre of one stock brings.
type Goal struct {
	Missing float64 // charge of the beaker held there, mol; its sign says on which side we are
	SD      float64 // of Missing, given the factor of the stock
	PerL    float64 // charge of a litre of the stock, mol, at the most probable factor
	LnSD    float64 // of ln(factor of the stock)
	Pull    float64 // change of Missing per unit of ln(factor)
}

// goal looks at a shown pH and a stock.
func (bel *Belief) goal(p *posterior, stock int, shown float64) Goal {
	b, adds := bel.Bench, bel.History.Additions
	ph := chem.PH(shown - p.x[account.Shift])
	md := *p.aim.Medium
	dilute(&md, b, p, adds, stock, ph)
	a := p.predict(p.acc.LevelAt(adds, p.x, chem.PH(shown), &md))
	u := p.factor(b, len(adds), stock)
	q, _ := b.Model.ChargeIn(float64(ph), &md, &p.acc.Stocks[stock])
	f := p.acc.Factors(p.x)
	vu, va, c := max(p.cov(u, u), 1e-12), p.cov(a, a), p.cov(a, u)
	return Goal{
		Missing: a.mean, PerL: q * f.Drops(stock),
		LnSD: math.Sqrt(vu), Pull: c / vu, SD: math.Sqrt(max(va-c*c/vu, 0)),
	}
}

// dilute makes of the medium of the aim, which the strongest stock leads to, that
// of the beaker once this one has brought it to a pH: where so much of a
// weak one is needed that its water counts, it is another.
func dilute(md *chem.Medium, b *account.Bench, p *posterior, adds []account.Addition, stock int, ph chem.PH) {
	c := p.acc.Beaker(adds, p.x)
	v := b.Takes(ph, md, &c, &p.acc.Stocks[stock])
	if !(v > waterCounts*c.Water && v < c.Water) {
		return
	}
	c = c.Plus(v, p.acc.Stocks[stock])
	b.Model.BalanceIn(float64(ph), md, &c)
	if !md.Made() {
		*md = *p.aim.Medium
	}
}

// waterCounts is how much of the water in the beaker a stock brings, from which
// on that shows in the medium: in 1 mol/kg of citrate it moves pH by 0.002.
const waterCounts = 0.01

// Chance that the beaker ends beyond the goal, in the direction dir of pH, 1 for up and -1 for
// down, when a labelled volume with relative scatter rel is added.
func (g Goal) Chance(dir float64, v chem.Volume, rel float64) float64 {
	vol := v.Litres()
	low, high := g.beyond(dir, vol, rel, normal.Z[0]), g.beyond(dir, vol, rel, normal.Z[normal.Nodes-1])
	if max(low, high) < 1e-7 || min(low, high) > 1-1e-7 {
		return (low + high) / 2
	}
	total, by := 0.0, math.Exp(g.LnSD*normal.Step)
	add := vol * g.PerL * math.Exp(g.LnSD*normal.Z[0])
	for i, z := range normal.Z {
		total += normal.Weight[i] * g.past(dir, add, rel, g.LnSD*z)
		add *= by
	}
	return total
}

// beyond is the chance for one value of the factor, z standard deviations
// from its most probable one.
func (g Goal) beyond(dir, vol, rel, z float64) float64 {
	u := g.LnSD * z
	return g.past(dir, vol*g.PerL*math.Exp(u), rel, u)
}

// past is the chance for a charge that the addition brings, where ln of the factor is u off
// its most probable value.
func (g Goal) past(dir, add, rel, u float64) float64 {
	sd := math.Sqrt(g.SD*g.SD + add*add*rel*rel)
	return normal.Near(dir * (g.Missing + g.Pull*u + add) / max(sd, 1e-18))
}
