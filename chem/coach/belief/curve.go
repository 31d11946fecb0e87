package belief

import (
	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
)

// CurvePoint is a point of a predicted titration curve.
type CurvePoint struct {
	Charge float64 // labelled charge of titrant added since the start, mol; base counts up, acid down
	PH     float64 // as the meter would show it
	Low    float64 // central 95 %
	High   float64
}

// Curve is the titration curve as believed, from a labelled charge of from to one of to, in n
// points, at least 2; those that cannot be computed are left out. With no observation it is the
// plan's, and there is none of a beaker that nobody weighed.
func (bel *Belief) Curve(from, to chem.Amount, n int) []CurvePoint {
	b := bel.Bench
	stock := towardsCharge(b, (to - from).Moles())
	at := func(i int) float64 { return from.Moles() + (to-from).Moles()*float64(i)/float64(n-1) }
	if b.Unweighed {
		return bel.plain(stock, at, n)
	}
	done := labelled(b, bel.History.Additions)
	per := b.LabelledCharge(account.Addition{Stock: stock, Volume: 1})
	p := &bel.posts[0]
	f := p.acc.Factors(p.x)
	now := p.acc.Beaker(bel.History.Additions, p.x)
	out := make([]CurvePoint, 0, n)
	near := p.nearby()
	for i := range n {
		q := at(i)
		c := now.Plus((q-done)/per*f.Drops(stock), p.acc.Stocks[stock])
		if c.Water <= 0 {
			continue
		}
		e, err := b.Model.SolveNear(&c, near)
		if err != nil {
			continue
		}
		near = e
		out = append(out, bel.point(p, c, e, q))
	}
	return out
}

// point is a point of the curve with its spread.
func (bel *Belief) point(p *posterior, c chem.Composition, e chem.Equilibrium, q float64) CurvePoint {
	pt := CurvePoint{Charge: q, PH: p.shows(e)}
	var md chem.Medium
	bel.Bench.Model.BalanceIn(e.PH, &md, &c)
	sd := p.sd(p.predict(p.acc.LevelAt(bel.History.Additions, p.x, chem.PH(pt.PH), &md)))
	pt.Low, pt.High = p.central(bel.Bench, c, e, sd)
	return pt
}

// plain is the curve of a beaker that nobody weighed, from the first reading on, as far as it
// is known.
func (bel *Belief) plain(stock int, at func(int) float64, n int) []CurvePoint {
	obs := bel.History.Observations
	if len(obs) == 0 {
		return nil
	}
	done := labelled(bel.Bench, bel.History.Additions[:obs[len(obs)-1].After])
	out := make([]CurvePoint, 0, n)
	for i := range n {
		after, low, high := bel.Free.Landing(chem.Amount(at(i)-done), stock)
		out = append(out, CurvePoint{Charge: at(i), PH: after, Low: low, High: high})
	}
	return out
}

// labelled is the charge of additions together, mol, by their labels.
func labelled(b *account.Bench, adds []account.Addition) (sum float64) {
	for _, a := range adds {
		sum += b.LabelledCharge(a)
	}
	return sum
}

// towardsCharge is the strongest stock of the sign of a charge, or the first.
func towardsCharge(b *account.Bench, q float64) int {
	best, most := 0, 0.0
	for j := range b.Stocks {
		if c := b.LabelledCharge(account.Addition{Stock: j, Volume: 1}); c*account.Sign(q) > most {
			best, most = j, c*account.Sign(q)
		}
	}
	return best
}
