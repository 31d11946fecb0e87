package find

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/linalg"
)

// A Bench is a coach.Guide.
var _ coach.Guide = (*Bench)(nil)

// How far, as factors, a fresh advice may be from an order that stands.
const (
	standsFrom = 0.5
	standsTo   = 2.0
)

// Stands reports whether an addition that was advised earlier on the same
// composition still tells much: a better one is no reason to change it.
func (b *Bench) Stands(r coach.Request, stock int, drops float64) bool {
	return stands(b.Advise(r), stock, drops)
}

// stands reports the same by the advice of now.
func stands(a coach.Advice, stock int, drops float64) bool {
	switch a.Do {
	case coach.Wait:
		return true
	case coach.Add:
		return a.Stock == stock && drops >= standsFrom*a.Drops && drops <= standsTo*a.Drops
	}
	return false
}

// Landing is the reading to expect after an addition, with its central 95 %.
func (b *Bench) Landing(r coach.Request, a coach.Addition) (after, low, high float64) {
	nan := math.NaN()
	if math.IsInf(r.Now.SD, 0) || math.IsNaN(r.Now.SD+r.Now.PH) {
		return nan, nan, nan
	}
	bel, err := b.Believe(with(r, r.Now.SD))
	if err != nil {
		return nan, nan, nan
	}
	rd := bel.roadOf(a.Stock)
	v := b.volumes(bel.hist.Additions, len(bel.hist.Additions))[a.Stock] + a.Volume.Litres()
	m, ok := rd.at(v)
	if !ok {
		return nan, nan, nan
	}
	low, high = rd.ends(bel.reach(&m, a.Stock))
	return m.shown, low, high
}

// reach is the central 95 % of where on its road a volume really is, L.
func (bel *Belief) reach(m *milestone, stock int) (from, to float64) {
	sd := math.Sqrt(math.Max(linalg.Dot(m.lv.grad, bel.times(m.lv.grad)), 0)) / math.Abs(m.lv.per[stock])
	return m.vol - 1.96*sd, m.vol + 1.96*sd
}

// DropsBetween is how many drops of a stock, as counted, lead from one reading to
// another, by what is believed; NaN when it cannot be told.
func (b *Bench) DropsBetween(h coach.History, stock int, from, to chem.PH) float64 {
	bel, err := b.Believe(h)
	if err != nil {
		return math.NaN()
	}
	rd := bel.roadOf(stock)
	return (rd.volumeOf((*milestone).reading, float64(to)) - rd.volumeOf((*milestone).reading, float64(from))) / b.Stocks[stock].Step.Litres()
}

func (m *milestone) reading() float64 { return m.shown }
func (m *milestone) beaker() float64  { return m.ph }

// volumeOf is where on a road the pH in the beaker, or that of the meter, comes to y, L;
// NaN where it never does.
func (r *road) volumeOf(of func(*milestone) float64, y float64) float64 {
	for i := 1; i < len(r.rows); i++ {
		from, to := &r.rows[i-1], &r.rows[i]
		if a, c := of(from), of(to); (a-y)*(c-y) <= 0 && a != c {
			return from.vol + (to.vol-from.vol)*(y-a)/(c-a)
		}
	}
	return math.NaN()
}

// Curve is the curve as believed, from a labelled charge of from to one of to, in
// at most n points.
func (b *Bench) Curve(h coach.History, from, to chem.Amount, n int) []coach.CurvePoint {
	bel, err := b.Believe(h)
	if err != nil {
		return nil
	}
	stock, way := 0, (to - from).Moles()
	for j, q := range b.Labelled {
		if q*way > b.Labelled[stock]*way {
			stock = j
		}
	}
	rd := bel.roadOf(stock)
	per := b.Labelled[stock]
	var out []coach.CurvePoint
	for i := range n {
		q := from.Moles() + way*float64(i)/float64(n-1)
		m, ok := rd.at(q / per)
		if !ok {
			continue
		}
		p := coach.CurvePoint{Charge: q, PH: m.shown}
		p.Low, p.High = rd.ends(bel.reach(&m, stock))
		out = append(out, p)
	}
	return out
}

// Forecast is what the plan alone says: its aim is the main equivalence point.
func (b *Bench) Forecast() coach.Forecast {
	f := coach.Forecast{Start: math.NaN(), Aim: 7, Need: make([]float64, len(b.Stocks))}
	for j := range f.Need {
		f.Need[j] = math.NaN()
	}
	bel, err := b.Believe(coach.History{})
	if err != nil {
		return f
	}
	c := b.beaker(bel.x, &bel.f, make([]float64, len(b.Stocks)))
	if e, err := bel.m.base.Solve(&c); err == nil {
		f.Start = shownPH(bel.x, e.PH)
	}
	st := bel.Stations()
	if k := main(st, chem.Volume(math.Inf(1))); k >= 0 {
		f.Aim, f.Need[st[k].Stock] = st[k].Shown, st[k].Volume.Litres()
	}
	return f
}

// Best is how well the answer could be known in the end, relative, and what would
// limit it then: with readings at rest all along the curve as planned. Of a blank, of
// which nothing is planned, it is UsualBlank that would be known so well.
func (b *Bench) Best() (f Found, err error) {
	bel, err := b.Believe(coach.History{})
	if err != nil {
		return f, err
	}
	if b.What == Blank {
		bel.x[iExcess] = -UsualBlank.Litres() * b.Stocks[0].PerLitre.Charge
	}
	rd := bel.roadOf(0)
	var places []float64 // L
	if b.What == Blank {
		places = b.blankPlaces()
	} else {
		st := bel.stations(&rd)
		k := main(st, b.Vessel-b.Start)
		if k < 0 {
			return Found{What: b.What, Main: -1, Stations: st}, ErrNoPoint
		}
		for _, share := range []float64{0, 0.3, 0.6, 0.9, 0.97, 0.99, 0.998, 1.002, 1.01, 1.03, 1.1, 1.2} {
			places = append(places, share*st[k].Volume.Litres())
		}
	}
	var h coach.History
	last := 0.0
	for _, at := range places {
		m, ok := rd.at(at)
		if !ok {
			continue
		}
		if step := at - last; step > 0 {
			h.Additions = append(h.Additions, coach.Addition{Stock: 0, Volume: chem.Volume(step), Drops: step / b.Stocks[0].Step.Litres()})
			last = at
		}
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: m.shown, SD: usualSD})
	}
	if bel, err = b.Believe(h); err != nil {
		return f, err
	}
	return bel.Found(), nil
}

// UsualBlank is the blank of which Best says how well it can be known (choice): two drops.
const UsualBlank = 0.1 * chem.Millilitre

// blankPlaces are the volumes, L, at which a blank is read: the water, and a few steps.
func (b *Bench) blankPlaces() (out []float64) {
	step := math.Max(b.Stocks[0].Step.Litres(), blankStep)
	for _, n := range []float64{0, 1, 2, 4} {
		if v := n * step; v <= (b.Vessel - b.Start).Litres() {
			out = append(out, v)
		}
	}
	return out
}

// blankStep is the least that is thought of, L.
const blankStep = 0.05e-3

// takes is how long so many steps take until they can be read, s.
func (s *Stock) takes(steps float64) float64 {
	if s.By == Drops {
		return restTime + dropTime*steps
	}
	return restTime + pourTime + mlTime*steps*s.Step.Millilitres()
}
