package coach

import (
	"math"
)

// A beaker that nobody weighed has one account, that without a name: a capacity
// that is about the same at every pH before any reading, give or take a factor of
// ten, above that of the water. The aim is the target as the meter shows it: what
// making up to a mark or another temperature would do, nobody can tell.
//
// Figures of judgement, a choice of this project: buffers of 2 to 500 mmol/L, of
// one or more systems.
const (
	unweighedMid    = 0.010 // mol/L per pH, the middle of what is thought of
	unweighedSD     = 1.1   // ln, of the capacity as a whole
	unweighedCurve  = 0.9   // ln, of its shape
	unweighedLength = 1.3   // pH, over which that is the same
)

// law is how a capacity may differ from what is thought of it before.
type law struct{ whole, shape, length float64 }

var (
	plannedLaw   = law{capacitySD, curveSD, curveLength}
	unweighedLaw = law{unweighedSD, unweighedCurve, unweighedLength}
)

// flat is the capacity of a beaker that nobody weighed: that of its water, and a
// middling one along pH.
func (b *Bench) flat(adds []Addition) (c capacity) {
	litres := b.Start.Litres()
	for _, a := range adds {
		litres += a.Volume.Litres()
	}
	for i := range c.ln {
		ph := capacityLow + float64(i)*capacityStep
		water := math.Ln10 * (math.Pow(10, -ph) + math.Pow(10, ph-waterPK))
		c.ln[i] = math.Log(litres * (unweighedMid + water))
		if i > 0 {
			c.sum[i] = c.sum[i-1] + c.piece(i-1, 1)
		}
	}
	return c
}

// waterPK is that of water at 25 °C, rounded: it is only to say where water begins
// to buffer.
const waterPK = 14.0

// believeUnweighed is the belief where no account of a list has anything to go by.
func (b *Bench) believeUnweighed(h History) Belief {
	hyp := b.hypothesis(nil, cares[0], 1)
	p := b.fit(&hyp, History{Additions: h.Additions}, &common{}, nil, math.Inf(-1))
	p.weight, p.aim = 0, b.plainAim()
	bel := Belief{bench: b, hist: h, posts: []posterior{p}}
	bel.free = b.nameless(h, b.Target, p.aim.medium)
	bel.free.weight = 1
	return bel
}

// plainAim is the target as the meter shows it.
func (b *Bench) plainAim() aim {
	md := b.Model.Salt(0.1)
	return aim{shown: b.Target, medium: &md}
}

// plainForecast is what is known of a beaker that nobody weighed: nothing.
func (b *Bench) plainForecast() Forecast {
	f := Forecast{Start: math.NaN(), Aim: b.Target}
	for range b.Stocks {
		f.Need = append(f.Need, math.NaN())
	}
	return f
}

// dropsBetween is Bench.DropsBetween by the account without a name.
func (n *nameless) dropsBetween(stock int, to float64) float64 {
	charge, _ := n.ahead(to, stock)
	return charge / n.b.LabelledCharge(Addition{Stock: stock, Volume: n.b.Stocks[stock].Drop})
}

// plainCurve is the curve from the first reading on, as far as it is known.
func (b *Bench) plainCurve(h History, from, to float64, points int) []CurvePoint {
	if len(h.Observations) == 0 {
		return nil
	}
	md := b.Model.Salt(0.1)
	f := b.nameless(h, b.Target, &md)
	done := 0.0
	for _, a := range h.Additions[:f.now.After] {
		done += b.LabelledCharge(a)
	}
	stock := b.towardsCharge(to - from)
	out := make([]CurvePoint, 0, points)
	for i := range points {
		q := from + (to-from)*float64(i)/float64(points-1)
		after, low, high := f.landing(q-done, stock)
		out = append(out, CurvePoint{Charge: q, PH: after, Low: low, High: high})
	}
	return out
}

// capacityNear is the capacity at a pH as the account has it, mol per pH by the
// labels.
func (n *nameless) capacityNear(ph float64, stock int) float64 {
	const d = 0.05
	charge, _ := n.ahead(ph+d, stock)
	less, _ := n.ahead(ph-d, stock)
	return math.Abs(charge-less) / (2 * d)
}
