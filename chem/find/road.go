package find

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// road is the curve as believed when one stock is added to what is there of the
// others, from none of it to the far end of the scale. It is explicit in pH: at a
// pH in a medium the charges of beaker and stock are numbers, and the volume is
// minus their ratio.
type road struct {
	stock int
	rows  []milestone // by rising volume
}

// milestone is a point of a road.
type milestone struct {
	vol   float64 // L of the stock in all
	ph    float64 // in the beaker
	shown float64
	lv    level
}

// Ends and step of a road, pH.
const (
	lowestPH  = 1.6
	highestPH = 12.6
	roadStep  = 0.1
)

// roadOf is the road of a stock.
func (bel *Belief) roadOf(stock int) road {
	b := bel.bench
	vol := b.volumes(bel.hist.Additions, len(bel.hist.Additions))
	rd := road{stock: stock}
	l := b.litre(stock, &bel.f, bel.x)
	md := b.newRoom()
	for ph := lowestPH; ph <= highestPH; ph += roadStep {
		v, ok := bel.volumeAt(stock, vol, ph, &l, &md[0])
		if !ok {
			continue
		}
		at := append([]float64(nil), vol...)
		at[stock] = v
		y := shownPH(bel.x, ph)
		lv := b.levelAt(bel.m, bel.x, &bel.f, at, y, md)
		if !math.IsNaN(lv.charge) {
			rd.rows = append(rd.rows, milestone{vol: v, ph: ph, shown: y, lv: lv})
		}
	}
	if n := len(rd.rows); n > 0 {
		at := append([]float64(nil), vol...)
		at[stock] = 0
		c := b.beaker(bel.x, &bel.f, at)
		if e, err := bel.m.base.Solve(&c); err == nil { // where it begins, between two steps of the scale
			y := shownPH(bel.x, e.PH)
			if lv := b.levelAt(bel.m, bel.x, &bel.f, at, y, md); !math.IsNaN(lv.charge) {
				rd.rows = append(rd.rows, milestone{vol: 0, ph: e.PH, shown: y, lv: lv})
			}
		}
	}
	rd.order()
	return rd
}

// order puts a road in the order of its pH, the way its stock goes: in a leap the volumes
// are too near to each other for that, and are told apart no better than they are computed.
func (r *road) order() {
	if len(r.rows) == 0 {
		return
	}
	byVol := func(a, b milestone) int { return cmp.Compare(a.vol, b.vol) }
	least, most := slices.MinFunc(r.rows, byVol), slices.MaxFunc(r.rows, byVol)
	if least.vol == most.vol {
		return
	}
	way := math.Copysign(1, most.ph-least.ph)
	sort.SliceStable(r.rows, func(i, j int) bool { return way*r.rows[i].ph < way*r.rows[j].ph })
	for i := 1; i < len(r.rows); i++ {
		r.rows[i].vol = math.Max(r.rows[i].vol, r.rows[i-1].vol)
	}
}

// mostVessels is how far a road leads, in vessels.
const mostVessels = 20

// volumeAt is the volume of a stock that brings the beaker to a pH.
func (bel *Belief) volumeAt(stock int, vol []float64, ph float64, l *chem.Composition, md *chem.Medium) (float64, bool) {
	b := bel.bench
	at := append([]float64(nil), vol...)
	at[stock] = 0
	rest := b.beaker(bel.x, &bel.f, at)
	v := 0.0
	for i := range 4 {
		c := rest.Plus(v, *l)
		if math.IsNaN(bel.m.base.BalanceIn(ph, md, &c).Charge) {
			return 0, false
		}
		q, _ := bel.m.base.ChargeIn(ph, md, &rest)
		per, _ := bel.m.base.ChargeIn(ph, md, l)
		next := -q / per
		if !(next >= 0) || next > mostVessels*b.Vessel.Litres() {
			return 0, false
		}
		if done := math.Abs(next-v) < 1e-9+1e-6*next; done && i > 0 {
			return next, true
		}
		v = next
	}
	return v, true
}

// at is the road at a volume, by straight lines between its milestones; false off its ends.
func (r *road) at(v float64) (milestone, bool) {
	n := len(r.rows)
	if n < 2 || v < r.rows[0].vol || v > r.rows[n-1].vol {
		return milestone{}, false
	}
	i := sort.Search(n, func(i int) bool { return r.rows[i].vol >= v })
	if i == 0 {
		return r.rows[0], true
	}
	a, c := &r.rows[i-1], &r.rows[i]
	t := 0.0
	if c.vol > a.vol {
		t = (v - a.vol) / (c.vol - a.vol)
	}
	return a.mix(c, t), true
}

func (a *milestone) mix(c *milestone, t float64) milestone {
	lin := func(p, q float64) float64 { return p + t*(q-p) }
	out := milestone{vol: lin(a.vol, c.vol), ph: lin(a.ph, c.ph), shown: lin(a.shown, c.shown)}
	out.lv = level{shown: out.shown, slope: -math.Exp(lin(math.Log(-a.lv.slope), math.Log(-c.lv.slope))), grad: make([]float64, len(a.lv.grad)), per: make([]float64, len(a.lv.per))}
	for i := range out.lv.grad {
		out.lv.grad[i] = lin(a.lv.grad[i], c.lv.grad[i])
	}
	for i := range out.lv.per {
		out.lv.per[i] = lin(a.lv.per[i], c.lv.per[i])
	}
	return out
}

// Station is an equivalence point.
type Station struct {
	Stock  int
	Volume chem.Volume // of the stock
	SD     chem.Volume // of that
	PH     float64     // in the beaker there
	Shown  float64     // by the meter
	Sharp  float64     // by how much the pH goes from 5 % before it to 5 % after
	grad   []float64   // of ln(volume) by the unknowns
	carbon float64     // charge of carbonate there
}

// A stretch of a road is an equivalence point when the capacity falls to this
// share of that on both sides, and the pH leaps by so much.
const (
	sharpShare = 0.7
	leastSharp = 0.25
)

// stations are the equivalence points of a road, in order.
func (bel *Belief) stations(r *road) []Station {
	var out []Station
	n := len(r.rows)
	for i := 1; i < n-1; i++ {
		c := func(k int) float64 { return -r.rows[k].lv.slope }
		if c(i) > c(i-1) || c(i) >= c(i+1) || !r.dips(i) {
			continue
		}
		if s, ok := bel.station(r, r.rows[i]); ok {
			out = apart(out, s)
		}
	}
	return out
}

// apart adds an equivalence point to those before it, as one more where it can be told
// from the last: the leap of a strong acid has but one, unless carbonate parts it by more
// than is known of it.
func apart(list []Station, s Station) []Station {
	n := len(list)
	if n == 0 || s.Volume-list[n-1].Volume > max(s.SD, list[n-1].SD) {
		return append(list, s)
	}
	if s.Sharp > list[n-1].Sharp {
		list[n-1] = s
	}
	return list
}

// dips reports whether the capacity is higher again on both sides of a row.
func (r *road) dips(i int) bool {
	least := -r.rows[i].lv.slope
	left, right := false, false
	for k := i - 1; k >= 0 && -r.rows[k].lv.slope >= least; k-- {
		left = left || -r.rows[k].lv.slope*sharpShare > least
	}
	for k := i + 1; k < len(r.rows) && -r.rows[k].lv.slope >= least; k++ {
		right = right || -r.rows[k].lv.slope*sharpShare > least
	}
	return left && right
}

// mostBetween is how far the mean charge of a system may be from a whole number
// for a form to be counted as that one.
const mostBetween = 0.3

// between reports whether a mean charge is that of no form.
func between(z float64) bool { return math.Abs(z-math.Round(z)) > mostBetween }

// station is the equivalence point near a row: each system is counted in the form
// in which most of it is there, and what is left to balance is the titrant.
func (bel *Belief) station(r *road, at milestone) (s Station, ok bool) {
	b := bel.bench
	var md chem.Medium
	vol := b.volumes(bel.hist.Additions, len(bel.hist.Additions))
	vol[r.stock] = at.vol
	c := b.beaker(bel.x, &bel.f, vol)
	bel.m.base.BalanceIn(at.ph, &md, &c)
	whole := make([]float64, len(b.Systems))
	for i := range whole {
		var one chem.Composition
		one.Totals[i] = 1
		z, _ := bel.m.base.ChargeIn(at.ph, &md, &one)
		if whole[i] = math.Round(z); between(z) && c.Totals[i] > 0 && !b.trace(i) {
			return s, false
		}
	}
	count := func(c *chem.Composition) float64 {
		q := c.Charge
		for i, z := range whole {
			q += z * c.Totals[i]
		}
		return q
	}
	vol[r.stock] = 0
	rest := b.beaker(bel.x, &bel.f, vol)
	l := b.litre(r.stock, &bel.f, bel.x)
	q, per := count(&rest), count(&l)
	s = Station{Stock: r.stock, Volume: chem.Volume(-q / per), PH: at.ph, Shown: at.shown, grad: make([]float64, len(bel.x))}
	if !(s.Volume > 0) {
		return s, false
	}
	for k, p := range b.Parts {
		s.grad[b.iPart(k)] = bel.f.part[k] * count(&p.Dry) / q
	}
	s.grad[iExcess] = 1 / q
	for j, v := range vol {
		o := b.litre(j, &bel.f, bel.x)
		if j != r.stock {
			s.grad[b.iStrength(j)], s.grad[b.iSize(j)] = v*count(&o)/q, v*count(&o)/q
		}
	}
	s.grad[b.iStrength(r.stock)], s.grad[b.iSize(r.stock)] = -1, -1
	if i := b.carbonate(); i >= 0 && b.mayCarbonate(r.stock) {
		s.carbon = whole[i]
		s.grad[b.iCarbon(r.stock)] = -(1 + whole[i]) * b.Stocks[r.stock].Molar * bel.f.strength[r.stock] * bel.f.size[r.stock] / per
	}
	s.SD = chem.Volume(bel.sd(s.grad)) * s.Volume
	v := s.Volume.Litres()
	if lo, ok := r.at(0.95 * v); ok {
		if hi, ok := r.at(1.05 * v); ok {
			s.Sharp = math.Abs(hi.ph - lo.ph)
		}
	}
	return s, s.leaps()
}

// leaps reports whether the pH goes by enough there.
func (s *Station) leaps() bool { return s.Sharp >= leastSharp }

// trace reports whether a system is there as a trace alone: the carbonate of a base.
func (b *Bench) trace(system int) bool {
	return !slices.ContainsFunc(b.Parts, func(p Part) bool { return p.Dry.Totals[system] != 0 })
}

// Stations are the equivalence points that can be reached with what is believed,
// in the order of the bottles and of the volume.
func (bel *Belief) Stations() []Station {
	var out []Station
	for j := range bel.bench.Stocks {
		r := bel.roadOf(j)
		out = append(out, bel.stations(&r)...)
	}
	return out
}

// passed reports whether a composition on record lies beyond an equivalence point.
func (bel *Belief) passed(s Station) bool {
	return slices.ContainsFunc(bel.hist.Observations, func(o coach.Observation) bool {
		return bel.bench.volumes(bel.hist.Additions, o.After)[s.Stock] > s.Volume.Litres()
	})
}
