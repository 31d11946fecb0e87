package coach

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
)

// Forecast is what the plan alone says, before any reading.
type Forecast struct {
	Start float64 // pH of the beaker as planned
	Aim   float64 // pH the meter should show for the target to hold in use
	// Need is, per stock, the volume in L that leads from Start to Aim; NaN
	// for a stock that leads the other way or can never reach it.
	Need []float64
}

// Forecast computes what the plan predicts.
func (b *Bench) Forecast() Forecast {
	if b.Guide != nil {
		return b.Guide.Forecast()
	}
	if b.Unweighed {
		return b.plainForecast()
	}
	h := b.hypothesis(nil, cares[0], 1)
	x := make([]float64, len(b.priors(&h)))
	c := b.beaker(&h, nil, 0, x)
	f := Forecast{Start: math.NaN(), Aim: b.Target}
	if e, err := b.Model.Solve(&c); err == nil {
		f.Start = e.PH
	}
	a := b.aimOf(&h, History{}, x)
	f.Aim = a.shown
	for j := range b.Stocks {
		missing, _ := b.Model.ChargeIn(a.shown, a.medium, &c)
		per, _ := b.Model.ChargeIn(a.shown, a.medium, &b.Stocks[j].PerLitre)
		v := -missing / per
		if !(v > 0) || math.IsInf(v, 0) {
			v = math.NaN()
		}
		f.Need = append(f.Need, v)
	}
	return f
}

// Landing is the settled reading to expect after an addition, with its central
// 95 %, from what is believed with the present reading.
func (b *Bench) Landing(r Request, a Addition) (after, low, high float64) {
	if b.Guide != nil {
		return b.Guide.Landing(r, a)
	}
	bel := b.Believe(r.with(r.Now.SD))
	d := dosing{b: b, bel: &bel, stock: a.Stock, dir: b.pull(a.Stock)} // a landing needs no chances
	n := a.Drops
	if n <= 0 {
		n = a.Volume.Litres() / b.Stocks[a.Stock].Drop.Litres()
	}
	return d.landing(n)
}

// DropsBetween is how many drops of a stock, as labelled, lead from one reading
// to another, from what is believed after a history; below 0 when they lead the
// other way, NaN when it cannot be told.
func (b *Bench) DropsBetween(h History, stock int, from, to float64) float64 {
	if b.Guide != nil {
		return b.Guide.DropsBetween(h, stock, from, to)
	}
	n := len(h.Additions)
	hist := History{Additions: h.Additions, Looked: h.Looked, Jump: h.Jump, Noise: h.Noise, Late: h.Late, Begun: h.Begun, Observations: append(slices.Clip(h.Observations), Observation{After: n, PH: from, SD: 0.02})}
	bel := b.Believe(hist)
	if b.Unweighed {
		return bel.free.dropsBetween(stock, to)
	}
	p := &bel.posts[0]
	a := b.levelAt(p.hyp, h.Additions, n, p.x, from, p.aim.medium)
	c := b.levelAt(p.hyp, h.Additions, n, p.x, to, p.aim.medium)
	per, _ := b.Model.ChargeIn(to-p.x[iShift], p.aim.medium, &p.hyp.stocks[stock])
	f := b.factors(p.hyp, p.x)
	return (a.value - c.value) / (per * f.drops[stock] * b.Stocks[stock].Drop.Litres())
}

// CurvePoint is a point of a predicted titration curve.
type CurvePoint struct {
	Charge float64 // labelled charge of titrant added since the start, mol; base counts up, acid down
	PH     float64 // as the meter would show it
	Low    float64 // central 95 %
	High   float64
}

// LabelledCharge is the charge that a volume of a stock brings near the target,
// by its label: the common measure of strong and weak, acid and base.
func (b *Bench) LabelledCharge(a Addition) float64 {
	md := b.Model.Salt(0.1)
	q, _ := b.Model.ChargeIn(b.Target, &md, &b.Stocks[a.Stock].PerLitre)
	return q * a.Volume.Litres()
}

// Curve is the titration curve as believed after a history, from a labelled
// charge of from to one of to, in n points. With no observation it is the plan's.
func (b *Bench) Curve(h History, from, to float64, n int) []CurvePoint {
	if b.Guide != nil {
		return b.Guide.Curve(h, from, to, n)
	}
	if b.Unweighed {
		return b.plainCurve(h, from, to, n)
	}
	bel := b.Believe(h)
	p := &bel.posts[0]
	stock := b.towardsCharge(to - from)
	per := b.LabelledCharge(Addition{Stock: stock, Volume: 1})
	done := 0.0
	for _, a := range h.Additions {
		done += b.LabelledCharge(a)
	}
	f := b.factors(p.hyp, p.x)
	now := b.beaker(p.hyp, h.Additions, len(h.Additions), p.x)
	out := make([]CurvePoint, 0, n)
	near := chem.Equilibrium{PH: p.aim.shown - p.x[iShift], Strength: p.aim.medium.Strength()}
	for i := range n {
		q := from + (to-from)*float64(i)/float64(n-1)
		c := now.Plus((q-done)/per*f.drops[stock], p.hyp.stocks[stock])
		if c.Water <= 0 {
			continue
		}
		e, err := b.Model.SolveNear(&c, near)
		if err != nil {
			continue
		}
		near = e
		out = append(out, p.band(b, h, c, e, q))
	}
	return out
}

// band is a point of the curve with its spread.
func (p *posterior) band(b *Bench, h History, c chem.Composition, e chem.Equilibrium, q float64) CurvePoint {
	shown := e.PH + p.x[iShift]
	var md chem.Medium
	b.Model.BalanceIn(e.PH, &md, &c)
	lv := b.levelAt(p.hyp, h.Additions, len(h.Additions), p.x, shown, &md)
	pr := p.predict(lv)
	sd := math.Sqrt(max(p.cov(pr, pr), 0))
	pt := CurvePoint{Charge: q, PH: shown, Low: shown, High: shown}
	for k, to := range map[float64]*float64{-1.96: &pt.Low, 1.96: &pt.High} {
		x := c
		x.Charge += k * sd
		if y, err := b.Model.SolveNear(&x, e); err == nil {
			*to = y.PH + p.x[iShift]
		}
	}
	return pt
}

// towardsCharge is the strongest stock of the given sign, or the first.
func (b *Bench) towardsCharge(q float64) int {
	best, most := 0, 0.0
	for j := range b.Stocks {
		if c := b.LabelledCharge(Addition{Stock: j, Volume: 1}); c*sign(q) > most {
			best, most = j, c*sign(q)
		}
	}
	return best
}
