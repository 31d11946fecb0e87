package coach

import (
	"math"

	"example.org/halfdrop/chem"
)

// The chance of passing aim + tolerance that an addition may have. The first one
// rests on labels alone: nothing has been seen yet of how the beaker answers. One
// that may well be the last is worth more: it saves the time of another. Settled readings
// are as a rule twice as good as their spreads say, so that fewer pass than that.
const (
	firstChance = 0.0014
	seenChance  = 0.007 // of a first one from a bottle that earlier runs have shown
	maxChance   = 0.015
	lastChance  = 0.02
	// Those of an electrode with a large late part, whose readings are no better than
	// their spreads say.
	lateMax  = 0.007
	lateLast = 0.015
)

// An addition may well be the last when its chance to end so near to the aim that
// nothing more is needed is this; and how near that is, as part of the tolerance.
const (
	lastShare  = 0.3
	endsWithin = 0.65
)

// limit is the chance that the next addition may have. The first one rests on
// nothing but labels, unless earlier runs have shown what a drop of it brings.
func (bel *Belief) limit(stock int) float64 {
	switch first := len(bel.hist.Additions) == 0; {
	case first && bel.bench.Stocks[stock].Learned == nil:
		return firstChance
	case first:
		return seenChance
	}
	if bel.hist.Late {
		return lateMax
	}
	return maxChance
}

// last is the chance that an addition may have that may well be the last.
func (bel *Belief) last() float64 {
	if bel.hist.Late {
		return lateLast
	}
	return lastChance
}

// Where accounts differ in where the aim is, small steps lower no risk: they only share
// it out. After so many additions in a row that were each less than this part of what was
// left, the chance doubles with every further one.
const (
	crawlShare = 0.125
	crawlsFrom = 2
	crawlMost  = 0.1 // up to this chance
)

// crawls is how many of the latest additions, in a row, were each a small part of what
// is left to give of a stock.
func (d *dosing) crawls() (n int) {
	left := math.Abs(d.charge(d.most()))
	adds := d.bel.hist.Additions
	for n < len(adds) && math.Abs(d.b.LabelledCharge(adds[len(adds)-1-n])) < crawlShare*left {
		n++
	}
	return n
}

// chanceOf is the chance that the next addition may have, after steps that led nowhere.
func (d *dosing) chanceOf() float64 {
	limit := d.bel.limit(d.stock)
	return math.Max(limit, math.Min(crawlMost, limit*math.Exp2(float64(max(0, d.crawls()-crawlsFrom+1)))))
}

// option is a stock with the largest number of drops that is safe.
type option struct {
	stock  int
	drops  float64
	chance float64
	charge float64 // |charge| of one drop near the aim
}

// dosing holds, for one stock, the view of all accounts on its doses.
type dosing struct {
	b     *Bench
	bel   *Belief
	stock int
	dir   float64
	limit []view // at aim + tolerance, per posterior
	mid   goal   // at the aim, for the likeliest
	near  goal   // a little short of it, where the mean of a fresh advice may land
}

// view is a goal as one account sees it, with the weight of all accounts that
// see the same: a mistake with a bottle that was not used yet is no other view
// of the bottles beside it.
type view struct {
	goal
	post    *posterior
	weight  float64
	already float64 // chance of being beyond it before anything is added
}

// shortOf is how far short of the aim the mean of a fresh advice stays, as part
// of the tolerance: room for an advice to stand while the reading wavers.
const shortOf = 0.05

func (bel *Belief) dosing(stock int, dir float64) dosing {
	d := dosing{b: bel.bench, bel: bel, stock: stock, dir: dir}
	for i := range bel.posts {
		p := &bel.posts[i]
		if p.weight < leastWeight {
			break
		}
		if same := d.sees(p); same != nil {
			same.weight += p.weight
			continue
		}
		g := d.b.goalAt(p, bel.hist.Additions, stock, p.aim.shown+dir*d.b.Tolerance)
		d.limit = append(d.limit, view{goal: g, post: p, weight: p.weight, already: g.chance(dir, 0, 0)})
	}
	if bel.bench.Unweighed {
		return d
	}
	lead := &bel.posts[0]
	d.mid = d.b.goalAt(lead, bel.hist.Additions, stock, lead.aim.shown)
	d.near = d.b.goalAt(lead, bel.hist.Additions, stock, lead.aim.shown-dir*shortOf*d.b.Tolerance)
	return d
}

// sees is the view that is also that of p, nil when there is none yet: the same
// fit, and the same in this bottle.
func (d *dosing) sees(p *posterior) *view {
	for i := range d.limit {
		q := d.limit[i].post
		if &q.x[0] == &p.x[0] && q.hyp.stocks[d.stock] == p.hyp.stocks[d.stock] {
			return &d.limit[i]
		}
	}
	return nil
}

// leads reports whether the stock moves the pH in the direction wanted: as the
// likeliest account has it, or by its label when none of the list counts.
func (d *dosing) leads() bool {
	if d.bel.unnamed() {
		return d.dir*d.charge(1) > 0
	}
	return d.dir*d.mid.perL > 0
}

// charge is the labelled charge of n drops.
func (d *dosing) charge(n float64) float64 {
	return n * d.b.LabelledCharge(Addition{Stock: d.stock, Volume: d.b.Stocks[d.stock].Drop})
}

// chance that n drops bring the beaker past the limit, over all accounts: what is
// past already is not the doing of this addition.
func (d *dosing) chance(n float64) float64 {
	vol := n * d.b.Stocks[d.stock].Drop.Litres()
	total := 0.0
	for i := range d.limit {
		v := &d.limit[i]
		total += v.weight * math.Max(0, v.chance(d.dir, vol, d.b.scatter(v.post.hyp, d.stock, n))-v.already)
	}
	if f := d.bel.free; f.weight > leastWeight {
		to := f.aim + d.dir*d.b.Tolerance
		rel := d.b.scatter(&hypothesis{care: cares[0]}, d.stock, n)
		total += f.weight * math.Max(0, f.beyond(d.dir, to, d.charge(n), d.stock, rel)-f.beyond(d.dir, to, 0, d.stock, 0))
	}
	return total
}

// most is how many drops bring the mean of the likeliest account a little short
// of the aim.
func (d *dosing) most() float64 {
	if d.bel.unnamed() {
		missing, _ := d.bel.free.ahead(d.bel.free.aim-d.dir*shortOf*d.b.Tolerance, d.stock)
		return missing / d.charge(1)
	}
	return -d.near.missing / (d.near.perL * d.b.Stocks[d.stock].Drop.Litres())
}

// inside is the probability that the settled reading is within the tolerance,
// from the reading and from what is known of the additions together.
func (bel *Belief) inside() float64 {
	total := 0.0
	for i := range bel.posts {
		p := &bel.posts[i]
		if p.weight < leastWeight {
			break
		}
		above := bel.bench.above(p, bel.hist.Additions, p.aim.shown-bel.bench.Tolerance)
		total += p.weight * (above - bel.bench.above(p, bel.hist.Additions, p.aim.shown+bel.bench.Tolerance))
	}
	f := bel.free
	off, sd := f.now.PH-f.aim, math.Max(f.now.SD, 1e-6)
	return total + f.weight*(phi((bel.bench.Tolerance-off)/sd)-phi((-bel.bench.Tolerance-off)/sd))
}

// above is the probability, as one posterior has it, that the settled reading
// is above a pH.
func (b *Bench) above(p *posterior, adds []Addition, shown float64) float64 {
	a := p.predict(b.levelAt(p.hyp, adds, len(adds), p.x, shown, p.aim.medium))
	return phi(a.mean / math.Sqrt(max(p.cov(a, a), 1e-30)))
}

// safe is the largest whole number of drops, up to most, that keeps the
// chance and whose mean does not pass the aim.
func (d *dosing) safe(most float64) option {
	most = math.Floor(min(most, d.most()))
	o := d.option(d.within(0, most, d.chanceOf()))
	if o.drops >= most || len(d.bel.hist.Additions) == 0 || d.bel.unnamed() || d.vague() {
		return o
	}
	if last := d.within(o.drops, most, math.Max(d.bel.last(), o.chance)); last > o.drops && d.ends(last) >= lastShare {
		return d.option(last)
	}
	return o
}

// vague reports whether the way to the aim is so little known that no addition may
// well be the last: not even one that leads to the aim itself in the mean.
func (d *dosing) vague() bool {
	const widest = 1.69 // tolerances: a spread of which less than lastShare is within endsWithin
	sd := math.Hypot(d.mid.sd, d.mid.lnSD*(d.mid.pull-d.mid.missing))
	return sd > widest*math.Abs(d.limit[0].missing-d.mid.missing)
}

// option is the stock with a number of drops.
func (d *dosing) option(drops float64) option {
	o := option{stock: d.stock, drops: drops, charge: math.Abs(d.charge(1))}
	if drops > 0 {
		o.chance = d.chance(drops)
	}
	return o
}

// within is the largest whole number of drops that keeps a chance, up to most;
// safe is one that does.
func (d *dosing) within(safe, most, limit float64) float64 {
	if most < 1 || d.chance(most) <= limit {
		return max(most, 0)
	}
	lo, hi := safe, most
	for hi-lo > 1 {
		mid := math.Floor((lo + hi) / 2)
		if d.chance(mid) <= limit {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// ends is the chance that n drops bring the reading so near to the aim that no
// further addition is needed, as the likeliest account has it.
func (d *dosing) ends(n float64) float64 {
	after, low, high := d.landing(n)
	sd := math.Max((high-low)/(2*1.96), 1e-6)
	off, near := after-d.bel.posts[0].aim.shown, endsWithin*d.b.Tolerance
	return phi((near-off)/sd) - phi((-near-off)/sd)
}

// landing is the settled reading to expect after n drops, with its central
// 95 %, from the likeliest account.
func (d *dosing) landing(n float64) (after, low, high float64) {
	if d.bel.unnamed() {
		return d.bel.free.landing(d.charge(n), d.stock)
	}
	p, vol := &d.bel.posts[0], n*d.b.Stocks[d.stock].Drop.Litres()
	c := d.b.beaker(p.hyp, d.bel.hist.Additions, len(d.bel.hist.Additions), p.x)
	f := d.b.factors(p.hyp, p.x)
	c = c.Plus(vol*f.drops[d.stock], p.hyp.stocks[d.stock])
	e, err := d.b.Model.SolveNear(&c, chem.Equilibrium{PH: p.aim.shown - p.x[iShift], Strength: p.aim.medium.Strength()})
	if err != nil {
		return math.NaN(), math.NaN(), math.NaN()
	}
	after = e.PH + p.x[iShift]
	g := d.b.goalAt(p, d.bel.hist.Additions, d.stock, after)
	dose := vol * g.perL
	// What the unknowns alone lead to is not all that the readings say: an addition
	// may have brought more or less than its drops.
	c.Charge += g.missing + dose
	if e, err = d.b.Model.SolveNear(&c, e); err != nil {
		return math.NaN(), math.NaN(), math.NaN()
	}
	after = e.PH + p.x[iShift]
	factor, scatter := g.lnSD*(g.pull+dose), dose*d.b.scatter(p.hyp, d.stock, n)
	sd := math.Sqrt(g.sd*g.sd + factor*factor + scatter*scatter)
	shift := func(k float64) float64 {
		x := c
		x.Charge += k * sd
		if e, err := d.b.Model.SolveNear(&x, e); err == nil {
			return e.PH + p.x[iShift]
		}
		return after
	}
	return after, shift(-1.96), shift(1.96)
}
