package coach

import (
	"math"
	"slices"
	"sort"

	"example.org/halfdrop/chem"
)

// Figures of judgement, a choice of this project.
const (
	coarseDrops = 4   // fewer drops than this of a stock: take the weaker one
	waitGain    = 0.9 // dose now when at least this share of the dose on a final reading is safe
	// Wait when a dose now would leave more of the way to the aim than one on a
	// final reading: by this share of it, and by this part of the tolerance.
	waitShare = 0.25
	waitPart  = 0.25
	hitGain   = 0.05 // wait when a final reading raises the chance to land in tolerance by more
	// What hits as likely as this is given on a vague reading: an addition more, now and then, costs less time than waits.
	likelyHit  = 0.8
	likelyAge  = 45.0  // s since the beaker was touched: before, a spread is not to be trusted that far
	nameSD     = 0.03  // pH, spread of a reading above which no mistake is named
	nameAge    = 180.0 // s that a better reading is waited for before one is named
	surePast   = 0.975
	sureInside = 0.95
	handsOff   = 0.8  // chance to end within the tolerance from which on it is left alone
	mistakeAt  = 0.86 // probability of any mistake at which it is named
	stillAt    = 0.65 // and down to which it is asked about still: a question does not come and go
	// A mistake is named beside the likeliest one from this share of its probability.
	suspectShare = 0.15
	// Probability of any mistake from which a small step is called a probe.
	probeAt = 0.2
)

// Advise says what to do next.
func (b *Bench) Advise(r Request) Advice {
	if b.Guide != nil {
		return b.Guide.Advise(r)
	}
	bel := b.Believe(r.with(r.Now.SD))
	adv := b.decide(&bel, r)
	if adv.Do == Add && r.Now.patient(adv.Aim, b.Tolerance) && (adv.hits() < likelyHit || r.Now.Age < likelyAge) {
		adv.Do, adv.Reason = Wait, Settling
	}
	if adv.Do == Add && r.Now.moves(adv.Aim, b.Tolerance) {
		adv.Do, adv.Reason = Wait, Settling
	}
	if adv.Do != Add || r.Now.Settled && !r.Now.Typed || r.Now.best() || r.Now.GoOn || r.Now.worn() >= longAge {
		return adv // what is not better known by then is given on, as far as it is safe
	}
	// Would waiting change the dose? Ask again as if the reading were final.
	final := b.Believe(r.with(math.Min(r.Now.SD, r.Now.FinalSD)))
	better := b.decide(&final, r)
	if better.Do != Add || adv.effect(b) < r.Now.gain()*better.effect(b) || adv.falls(better) || better.hits() > adv.hits()+hitGain {
		adv.Do, adv.Reason = Wait, Settling
	}
	return adv
}

// falls reports whether the addition leaves so much more of the way than the
// one on a final reading would that waiting is worth it.
func (a Advice) falls(better Advice) bool {
	left, least := math.Abs(a.Aim-a.After), math.Abs(better.Aim-better.After)
	return left > least*(1+waitShare)+waitPart*a.Tolerance
}

// hits is the chance that the addition lands within the tolerance.
func (a Advice) hits() float64 {
	sd := math.Max((a.High-a.Low)/(2*1.96), 1e-6)
	off := a.After - a.Aim
	return phi((a.Tolerance-off)/sd) - phi((-a.Tolerance-off)/sd)
}

// How far an order that stands may come to be wrong: times the chance of a fresh
// one, and past the aim in the mean, as part of the tolerance.
const (
	standChance = 5
	standPast   = 1.0
)

// Stands reports whether an addition that was advised earlier on the same
// composition is still right: no more dangerous than it may be, and not accused
// of anything. A better one is no reason to change it. Where its own first drops may be
// what speaks against it, it is enough that it leads inside the tolerance.
func (b *Bench) Stands(r Request, stock int, drops float64) bool {
	if b.Guide != nil {
		return b.Guide.Stands(r, stock, drops)
	}
	bel := b.Believe(r.with(r.Now.SD))
	lead := &bel.posts[0]
	if ms, w := bel.suspects(); w >= mistakeAt && !r.allConfirmed(ms) && r.Now.clear() && !r.Now.patient(lead.aim.shown, b.Tolerance) {
		return false
	}
	off := lead.aim.shown - r.Now.PH
	dir := sign(off)
	if b.pull(stock) != dir {
		return math.Abs(off) <= b.Tolerance/2 // it may be its first drops that show
	}
	d := bel.dosing(stock, dir)
	drop := b.Stocks[stock].Drop.Litres()
	after, _, _ := d.landing(drops)
	past := dir * (after - lead.aim.shown)
	return past <= standPast*b.Tolerance && drops*drop <= b.room(r.History.Additions) && (r.Begun || d.chance(drops) <= standChance*bel.limit(stock))
}

// with is the history closed by the present reading with a given spread.
func (r Request) with(sd float64) History {
	h := r.History
	now := Observation{After: len(h.Additions), PH: r.Now.PH, SD: sd}
	h.Observations = append(append([]Observation(nil), h.Observations...), now)
	return h
}

// effect is the labelled charge of the advised addition, to compare two.
func (a Advice) effect(b *Bench) float64 {
	return math.Abs(b.Stocks[a.Stock].PerLitre.Charge) * a.Volume.Litres()
}

func (b *Bench) decide(bel *Belief, r Request) Advice {
	lead := &bel.posts[0]
	adv := Advice{Aim: lead.aim.shown, Tolerance: b.Tolerance}
	if ms, w := bel.suspects(); w >= r.accuses() && !r.allConfirmed(ms) && (r.Now.clear() || !r.Now.GoOn) {
		if !r.Now.clear() { // soon it will be
			return b.unclear(bel, r, adv)
		}
		if r.Now.Age < nameAge && r.Now.patient(adv.Aim, b.Tolerance) {
			adv.Do, adv.Reason, adv.Mistakes, adv.Weight = Wait, Settling, ms, w
			return adv
		}
		adv.Do, adv.Reason, adv.Mistakes, adv.Weight = Check, Mistaken, ms, w
		return adv
	}
	off := r.Now.PH - adv.Aim
	dir := -sign(off)
	if math.Abs(off) > b.Tolerance {
		return b.step(bel, r, adv, dir)
	}
	in, rests := bel.inside(), r.Now.rests(adv.Aim, b.Tolerance)
	switch {
	case r.Now.atRest(b.Tolerance) && rests && !r.Now.onTheEdge(adv.Aim, b.Tolerance) && in >= sureInside && (r.Now.inside(adv.Aim, b.Tolerance) >= handsOff || r.Now.worn() >= doneAge): // a coarse display may stand on the edge
		adv.Do, adv.Reason = Stop, InTolerance
	case !r.Now.Stands && (in >= sureInside || !rests && in >= handsOff):
		adv.Do, adv.Reason = Wait, HandsOff
	case !r.Now.Settled && !r.Now.best() && r.Now.worn() < longAge:
		adv.Do, adv.Reason = Wait, Settling
	case r.Now.patient(adv.Aim, b.Tolerance):
		adv.Do, adv.Reason = Wait, HandsOff
	default:
		if math.Abs(off) > edgeShare*b.Tolerance && !isWayBack(b, &r.History, adv.Aim, dir) {
			if better := b.step(bel, r, adv, dir); better.Do == Add && better.hits() > in+hitGain {
				return better
			}
		}
		adv.Do, adv.Reason = Stop, InTolerance
		if !rests || !r.Now.still(b.Tolerance) && r.Now.worn() < doneAge || r.Now.inside(adv.Aim, b.Tolerance) < handsOff && r.Now.worn() < doneAge && (!r.Now.Stands || r.Now.SD > lateSDs*r.Now.FinalSD) {
			adv.Do, adv.Reason = Wait, HandsOff
		}
	}
	return adv
}

// unclear waits for a reading that is good enough to accuse somebody by. What is safe by
// all accounts is held back meanwhile, for who wants to go on.
func (b *Bench) unclear(bel *Belief, r Request, adv Advice) Advice {
	if off := adv.Aim - r.Now.PH; math.Abs(off) > b.Tolerance {
		adv = b.step(bel, r, adv, sign(off))
	}
	adv.Do, adv.Reason = Wait, Settling
	return adv
}

// step chooses the addition that leads from outside the tolerance to the aim.
func (b *Bench) step(bel *Belief, r Request, adv Advice, dir float64) Advice {
	room := b.room(r.History.Additions)
	if r.agreed(NoRoom) > 0 { // a larger volume, and a thinner buffer
		room = math.Max(room, moreRoom*b.Final.Litres())
	}
	back := isWayBack(b, &r.History, adv.Aim, dir)
	if back && !r.Now.Settled && phi((math.Abs(r.Now.PH-adv.Aim)-b.Tolerance)/r.Now.SD) < surePast {
		adv.Do, adv.Reason = Wait, Settling
		return adv
	}
	var all []dosing
	var opts []option
	cramped := false
	for j, s := range b.Stocks {
		if slices.Contains(r.Aside, j) {
			continue
		}
		d := bel.dosing(j, dir)
		if !d.leads() {
			continue
		}
		most := math.Floor(room / s.Drop.Litres())
		o := d.safe(math.Min(most, math.Floor(b.whole(&bel.posts[0])/math.Abs(d.charge(1)))))
		cramped = cramped || o.drops >= most
		all, opts = append(all, d), append(opts, o)
	}
	if len(opts) == 0 && !bel.unnamed() && b.labelled(dir, r) {
		return b.against(bel, r, adv, dir)
	}
	if len(opts) == 0 {
		adv.Do, adv.Reason = Check, NoTitrant
		if back {
			adv.Reason = NoWayBack
		}
		return adv
	}
	adv.OneDrop = oneDrop(bel, opts)
	agreed := r.agreed(DropTooBig)
	if agreed == 0 && (r.Now.best() || r.Now.GoOn) && adv.small() {
		agreed = 1 // it is the reading that is not better known, and will not be
	}
	finest(all, opts, room, agreed, math.Abs(r.Now.PH-adv.Aim))
	k := choose(opts)
	o := opts[k]
	if o.drops <= 0 && contradicted(all) {
		return b.byReading(bel, r, adv, dir)
	}
	if o.drops <= 0 {
		return b.stuck(adv, r, cramped)
	}
	adv.Do, adv.Stock, adv.Drops, adv.Chance = Add, o.stock, o.drops, o.chance
	adv.Volume = chem.Volume(o.drops) * b.Stocks[o.stock].Drop
	adv.After, adv.Low, adv.High = all[k].landing(o.drops)
	adv.Reason = b.why(bel, adv, opts, back)
	if back {
		adv.Salt = o.charge * o.drops
	}
	return adv
}

// whole is the charge, mol, that leads the plan from one end of what anybody titrates to the
// other. Nothing that is believed of a beaker is worth an order of more: it may be an electrode
// that stands elsewhere.
func (b *Bench) whole(lead *posterior) float64 {
	if b.Unweighed {
		return math.Inf(1)
	}
	h := b.hypothesis(nil, cares[0], 1)
	c := b.beaker(&h, nil, 0, make([]float64, len(b.priors(&h))))
	low, _ := b.Model.ChargeIn(wholeFrom, lead.aim.medium, &c)
	high, _ := b.Model.ChargeIn(wholeTo, lead.aim.medium, &c)
	return math.Abs(high - low)
}

// The ends of that, pH.
const (
	wholeFrom = 2.0
	wholeTo   = 12.0
)

// choose takes the strongest stock of which enough drops are safe, else the
// weakest that allows one at all.
func choose(opts []option) int {
	order := make([]int, len(opts))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, c int) bool { return opts[order[a]].charge > opts[order[c]].charge })
	last := order[len(order)-1]
	for _, i := range order {
		if opts[i].drops >= coarseDrops {
			return i
		}
		if opts[i].drops > 0 {
			last = i
		}
	}
	return last
}

// stuck is the advice when not one drop is safe.
func (b *Bench) stuck(adv Advice, r Request, cramped bool) Advice {
	switch {
	case !r.Now.Settled && !r.Now.best() && !r.Now.GoOn && r.Now.worn() < longAge:
		adv.Do, adv.Reason, adv.Asking = Wait, Settling, true
	case cramped:
		adv.Do, adv.Reason = Check, NoRoom
	case adv.small() && !r.Now.best() && !r.Now.GoOn: // it is the reading that is vague
		adv.Do, adv.Reason, adv.Asking = Wait, Settling, true
	default:
		adv.Do, adv.Reason = Check, DropTooBig
	}
	return adv
}

// small reports whether half a drop moves the pH by so little that its size is no
// reason not to give it.
func (a Advice) small() bool { return math.Abs(a.OneDrop)*half <= a.Tolerance/2 }

func (b *Bench) why(bel *Belief, adv Advice, opts []option, back bool) Reason {
	switch {
	case back:
		return Past
	case math.Abs(adv.After-adv.Aim) <= b.Tolerance:
		return Near
	case len(opts) > 1 && adv.Drops > 0 && b.weaker(adv.Stock, opts):
		return Finer
	}
	if _, w := bel.suspects(); w > probeAt {
		return Probe
	}
	return Far
}

// weaker reports whether a stronger stock was at hand than the one chosen.
func (b *Bench) weaker(stock int, opts []option) bool {
	mine := 0.0
	for _, o := range opts {
		if o.stock == stock {
			mine = o.charge
		}
	}
	for _, o := range opts {
		if o.charge > 1.5*mine {
			return true
		}
	}
	return false
}

// oneDrop is the change of pH by one drop of the weakest option at the aim.
func oneDrop(bel *Belief, opts []option) float64 {
	least := math.Inf(1)
	for _, o := range opts {
		least = min(least, o.charge)
	}
	if bel.unnamed() {
		return least / bel.free.capacityNear(bel.free.aim, opts[0].stock)
	}
	p := &bel.posts[0]
	adds := bel.hist.Additions
	lv := bel.bench.levelAt(p.hyp, adds, len(adds), p.x, p.aim.shown, p.aim.medium)
	return least / -lv.slope
}
