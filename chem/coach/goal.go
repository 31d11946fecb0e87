package coach

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
)

// goal is a shown pH as seen from one posterior: the charge that is missing
// there, its spread, and what a litre of one stock brings.
type goal struct {
	missing float64 // charge of the beaker held there; its sign says on which side we are
	sd      float64 // of missing, given the factor of the stock
	perL    float64 // charge of a litre of the stock, at the most probable factor
	lnSD    float64 // of ln(factor of the stock)
	pull    float64 // change of missing per unit of ln(factor)
}

// goalAt looks from posterior p at a shown pH and a stock.
func (b *Bench) goalAt(p *posterior, adds []Addition, stock int, shown float64) goal {
	md := *p.aim.medium
	b.dilute(&md, p, adds, stock, shown)
	lv := b.levelAt(p.hyp, adds, len(adds), p.x, shown, &md)
	a := p.predict(lv)
	u := predicted{grad: make([]float64, len(p.x)), scat: make([]float64, len(adds)), w: make([]float64, len(p.v))}
	u.grad[iDropper+b.Stocks[stock].Dropper] = 1
	u.grad[iDropper+b.droppers()+stock] = 1
	for i := range u.w {
		u.w[i] = linalg.Dot(p.w[i*len(p.x):(i+1)*len(p.x)], u.grad)
	}
	q, _ := b.Model.ChargeIn(shown-p.x[iShift], &md, &p.hyp.stocks[stock])
	f := b.factors(p.hyp, p.x)
	g := goal{missing: a.mean, perL: q * f.drops[stock]}
	vu, va, c := p.cov(u, u), p.cov(a, a), p.cov(a, u)
	g.lnSD = math.Sqrt(max(vu, 1e-12))
	g.pull = c / max(vu, 1e-12)
	g.sd = math.Sqrt(max(va-c*c/max(vu, 1e-12), 0))
	return g
}

// dilute makes of the medium of the aim, which the strongest stock leads to, that
// of the beaker once this one has brought it to a shown pH: where so much of a
// weak one is needed that its water counts, it is another.
func (b *Bench) dilute(md *chem.Medium, p *posterior, adds []Addition, stock int, shown float64) {
	ph := shown - p.x[iShift]
	c := b.beaker(p.hyp, adds, len(adds), p.x)
	missing, _ := b.Model.ChargeIn(ph, md, &c)
	per, _ := b.Model.ChargeIn(ph, md, &p.hyp.stocks[stock])
	v := -missing / per
	if !(v > waterCounts*c.Water && v < c.Water) {
		return
	}
	c = c.Plus(v, p.hyp.stocks[stock])
	b.Model.BalanceIn(ph, md, &c)
	if !md.Made() {
		*md = *p.aim.medium
	}
}

// waterCounts is how much of the water in the beaker a stock brings, from which
// on that shows in the medium: in 1 mol/kg of citrate it moves pH by 0.002.
const waterCounts = 0.01

// The factor of a stock is log-normal with a spread that may be large; the
// chance is summed over these many equal steps of its standard normal.
const (
	nodes    = 25
	nodeSpan = 4.2
	nodeStep = 2 * nodeSpan / (nodes - 1)
)

var nodeZ, nodeWeight = normalNodes()

func normalNodes() (z, w [nodes]float64) {
	sum := 0.0
	for i := range nodes {
		z[i] = -nodeSpan + nodeStep*float64(i)
		w[i] = math.Exp(-z[i] * z[i] / 2)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return z, w
}

// chance that the beaker ends beyond the goal, in the direction dir of pH,
// when vol litres (nominal) with relative scatter rel are added.
func (g goal) chance(dir, vol, rel float64) float64 {
	low, high := g.beyond(dir, vol, rel, nodeZ[0]), g.beyond(dir, vol, rel, nodeZ[nodes-1])
	if max(low, high) < 1e-7 || min(low, high) > 1-1e-7 {
		return (low + high) / 2
	}
	total, by := 0.0, math.Exp(g.lnSD*nodeStep)
	add := vol * g.perL * math.Exp(g.lnSD*nodeZ[0])
	for i, z := range nodeZ {
		total += nodeWeight[i] * g.past(dir, add, rel, g.lnSD*z)
		add *= by
	}
	return total
}

// beyond is the chance for one value of the factor, z standard deviations
// from its most probable one.
func (g goal) beyond(dir, vol, rel, z float64) float64 {
	u := g.lnSD * z
	return g.past(dir, vol*g.perL*math.Exp(u), rel, u)
}

// past is the chance for a charge that the addition brings, where ln of the factor is u off
// its most probable value.
func (g goal) past(dir, add, rel, u float64) float64 {
	sd := math.Sqrt(g.sd*g.sd + add*add*rel*rel)
	return nearPhi(dir * (g.missing + g.pull*u + add) / max(sd, 1e-18))
}
