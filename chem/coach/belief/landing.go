package belief

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/normal"
)

// Landing is the settled reading to expect after drops of a stock, with its central
// 95 %, from the likeliest account; NaN when it cannot be computed.
func (bel *Belief) Landing(stock int, drops float64) (after, low, high float64) {
	b := bel.Bench
	if bel.Unnamed() {
		return bel.Free.Landing(chem.Amount(b.LabelledDrops(stock, drops)), stock)
	}
	p, vol := &bel.posts[0], drops*b.Stocks[stock].Drop.Litres()
	f := p.acc.Factors(p.x)
	c := p.acc.Beaker(bel.History.Additions, p.x).Plus(vol*f.Drops(stock), p.acc.Stocks[stock])
	e, err := b.Model.SolveNear(&c, p.nearby())
	if err != nil {
		return math.NaN(), math.NaN(), math.NaN()
	}
	g := bel.goal(p, stock, p.shows(e))
	dose := vol * g.PerL
	// What the unknowns alone lead to is not all that the readings say: an addition
	// may have brought more or less than its drops.
	c.Charge += g.Missing + dose
	if e, err = b.Model.SolveNear(&c, e); err != nil {
		return math.NaN(), math.NaN(), math.NaN()
	}
	factor, scatter := g.LnSD*(g.Pull+dose), dose*p.acc.Scatter(stock, drops)
	low, high = p.central(b, c, e, math.Sqrt(g.SD*g.SD+factor*factor+scatter*scatter))
	return p.shows(e), low, high
}

// nearby is an equilibrium to begin with, at the aim.
func (p *posterior) nearby() chem.Equilibrium {
	return chem.Equilibrium{PH: p.aim.Shown - p.x[account.Shift], Strength: p.aim.Medium.Strength()}
}

// shows is what the meter shows of an equilibrium.
func (p *posterior) shows(e chem.Equilibrium) float64 { return e.PH + p.x[account.Shift] }

// central is what the meter shows at the ends of the central 95 % of the charge of a composition,
// the spread of which is sd, mol; e is its equilibrium, which stands for an end that cannot be computed.
func (p *posterior) central(b *account.Bench, c chem.Composition, e chem.Equilibrium, sd float64) (low, high float64) {
	end := func(sds float64) float64 {
		x := c
		x.Charge += sds * sd
		if y, err := b.Model.SolveNear(&x, e); err == nil {
			return p.shows(y)
		}
		return p.shows(e)
	}
	return end(-normal.Central), end(normal.Central)
}

// DropsTo is how many drops of a stock, as labelled, lead from a reading on which the belief
// ends to another one, by the likeliest account; below 0 when they lead the other way.
func (bel *Belief) DropsTo(stock int, from, to chem.PH) float64 {
	b := bel.Bench
	if b.Unweighed {
		charge, _ := bel.Free.Ahead(to, stock)
		return charge.Moles() / b.LabelledDrops(stock, 1)
	}
	p, adds := &bel.posts[0], bel.History.Additions
	way := p.levelAt(adds, float64(from)).Value - p.levelAt(adds, float64(to)).Value
	per, _ := b.Model.ChargeIn(float64(to)-p.x[account.Shift], p.aim.Medium, &p.acc.Stocks[stock])
	f := p.acc.Factors(p.x)
	return way / (per * f.Drops(stock) * b.Stocks[stock].Drop.Litres())
}

// Capacity is the buffer capacity at the aim, mol per pH, by the labels of a stock where the
// account without a name leads.
func (bel *Belief) Capacity(stock int) float64 {
	if bel.Unnamed() {
		return bel.Free.CapacityNear(bel.Free.Aim, stock)
	}
	p := &bel.posts[0]
	return -p.levelAt(bel.History.Additions, p.aim.Shown).Slope
}

// Whole is the charge, mol, that leads the plan from one end of what anybody titrates to the
// other, in the medium at the aim: infinite where there is no plan.
func (bel *Belief) Whole() float64 {
	b := bel.Bench
	if b.Unweighed {
		return math.Inf(1)
	}
	c, md := b.Planned(nil), bel.posts[0].aim.Medium
	low, _ := b.Model.ChargeIn(wholeFrom, md, &c)
	high, _ := b.Model.ChargeIn(wholeTo, md, &c)
	return math.Abs(high - low)
}

// The ends of that, pH.
const (
	wholeFrom = 2.0
	wholeTo   = 12.0
)
