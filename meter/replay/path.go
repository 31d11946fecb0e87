package replay

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run"
)

// path is the run as a row of stops: where the beaker stood, settled, before
// and after everything that moved it. Positions are kept as charge, in which
// every addition counts the same wherever on the curve it falls.
type path struct {
	stops  []stop
	before map[int64]int // place of the stop that an addition left
}

// moved says what led from one stop to the next.
type moved uint8

const (
	begun   moved = iota // nothing: the first stop
	dosed                // an addition
	stepped              // the reading made a step of its own
	drifted              // the reading wandered off
	absent               // a time without the program
)

// stop is a composition as it stood when it was left.
type stop struct {
	Standing
	moved    moved
	seq      int64 // of the addition that led here
	stock    int
	drops    float64
	volume   chem.Volume
	est      probe.Estimate
	state    run.State // just before it was left
	at       int       // events before it was left
	since    float64   // s, when it was entered
	said     float64   // s, when that was put on record
	comp     chem.Composition
	charge   float64 // labelled charge of the addition that led here, mol
	extra    float64 // charge in the beaker beyond the label, as the reading has it, mol
	known    bool    // the reading was good enough to stand for itself
	response float64 // of the addition that led here; 0 when it cannot be told
	extraSD  float64 // of extra, by the spread of the reading, mol
	sure     float64 // spreads by which the response is more than the label
}

// path follows the run.
func (r *Run) path() *path {
	p := &path{before: map[int64]int{}}
	given := map[int64]journal.Addition{}
	for _, d := range journal.Doses(r.Others) {
		if !d.Withdrawn {
			given[d.Seq] = d.Given
		}
	}
	next, seg := stop{moved: begun, since: r.First.T}, segment{from: r.First.T}
	var doses []coach.Addition
	for i := range r.ends {
		e := &r.ends[i]
		seg.blocks = append(seg.blocks, e.seg.blocks...)
		seq := int64(e.at) + 2
		dose, real := given[seq]
		if e.kind == journal.Added && !real { // withdrawn later: nothing fell
			continue
		}
		if p.arrive(next, e, seg, doses, r.ordered); e.kind == journal.Added {
			p.before[seq] = len(p.stops) - 1
		}
		next = stop{since: e.t, said: e.said, moved: absent}
		if e.kind == journal.Added {
			next.moved, next.seq = dosed, seq
			next.stock, next.drops = stockOf(&e.state, dose.Titrant), dose.Drops
			next.volume = chem.Volume(dose.ML) * chem.Millilitre
			doses = append(doses, coach.Addition{Stock: next.stock, Volume: next.volume, Drops: next.drops})
		}
		seg = segment{from: e.t}
	}
	p.locate()
	return p
}

func stockOf(s *run.State, name string) int {
	return max(0, slices.IndexFunc(s.Setup.Stocks, func(st recipe.Stock) bool { return st.Name == name }))
}

// goodEnough is the spread, pH, up to which a reading stands for itself; one
// that the coach would dose on does so up to fairEnough. Looking back, what came
// after tells more of the others.
const goodEnough, fairEnough = 0.03, 0.05

// speaks reports whether the reading of a stop stands for itself, by the advice of then.
func (s *stop) speaks(adv coach.Advice) bool {
	good := s.SD <= goodEnough || s.est.State == probe.Settled || s.SD <= fairEnough && (adv.Do == coach.Add || adv.Do == coach.Stop)
	return good && s.est.State != probe.Empty
}

// vagueEnd is the spread, pH, up to which the first and the last reading stand for
// themselves.
const vagueEnd = 0.5

// arrive adds the stop of one composition, or several when the reading moved
// within it without an addition; a step before putIn, s, when the first order was given, is
// the electrode that is put into the beaker.
func (p *path) arrive(next stop, e *ending, seg segment, doses []coach.Addition, putIn float64) {
	if len(seg.blocks) == 0 && next.moved == absent {
		return // the tail after the end, without a reading
	}
	next.state, next.at = e.state, e.at
	var adv coach.Advice
	next.Standing, next.est, adv = standing(e.state, e.t)
	b := e.state.Bench()
	next.comp = b.Water.Plus(1, b.Weighed)
	for _, a := range doses {
		next.comp = next.comp.Plus(a.Volume.Litres(), b.Stocks[a.Stock].PerLitre)
	}
	if next.moved == dosed {
		next.charge = b.LabelledCharge(doses[len(doses)-1])
	}
	next.known = next.speaks(adv)
	if m, ok := seg.wanders(next.restless(), e.state.Setup.Tolerance, next.est.Noise); ok && !(next.moved == begun && m.how == stepped && m.t < putIn) && !seg.late(m, p.came(&seg), next.est.Noise) {
		first := next
		first.T, first.PH, first.SD, first.known = m.t, m.from, 0.01, true
		p.stops = append(p.stops, first)
		next = stop{Standing: next.Standing, est: next.est, state: next.state, at: next.at, comp: next.comp, since: m.t, moved: m.how}
		next.PH, next.SD, next.known = m.to, 0.01, true
	}
	p.stops = append(p.stops, next)
}

// came is the pH that a reading came from: that of the stop before, or, of the first, where
// the electrode was put in.
func (p *path) came(seg *segment) float64 {
	if n := len(p.stops); n > 0 {
		return p.stops[n-1].PH
	}
	return seg.blocks[0].y
}

// locate turns settled readings into charge, and fills in from the charge
// what was never settled.
func (p *path) locate() {
	last := -1
	for _, i := range []int{0, len(p.stops) - 1} { // nothing else tells of these
		if i >= 0 && i < len(p.stops) && p.stops[i].est.State != probe.Empty && p.stops[i].SD < vagueEnd {
			p.stops[i].known = true
		}
	}
	for i := range p.stops {
		if s := &p.stops[i]; s.known {
			s.extra = extraCharge(s.state.Bench(), s.PH, &s.comp)
		}
	}
	p.telling()
	for i := range p.stops {
		if p.stops[i].known {
			p.between(last, i)
			last = i
		}
	}
	p.between(last, len(p.stops))
	for i := 1; i < len(p.stops); i++ {
		a, s := &p.stops[i-1], &p.stops[i]
		if s.moved == dosed && s.charge != 0 {
			s.response = 1 + (s.extra-a.extra)/s.charge
			s.sure = (s.response - 1) * math.Abs(s.charge) / (math.Hypot(a.spread(), s.spread()) + 1e-12)
		}
	}
}

// tells is by how many of its spreads the charge must have changed between the
// stops around it for a vague reading to stand for itself.
const tells = 3.0

// telling takes vague readings for themselves where they are good enough to say on
// which side of them it happened.
func (p *path) telling() {
	from := -1
	for i := range p.stops {
		s := &p.stops[i]
		if s.known {
			from = i
			continue
		}
		to := i + 1
		for to < len(p.stops) && !p.stops[to].known {
			to++
		}
		if from < 0 || to == len(p.stops) || s.est.State == probe.Empty || !(s.SD < vagueEnd) {
			continue
		}
		if tells*s.spread() < math.Abs(p.stops[to].extra-p.stops[from].extra) {
			s.known, s.extra = true, extraCharge(s.state.Bench(), s.PH, &s.comp)
			from = i
		}
	}
}

// spread is that of extra, mol.
func (s *stop) spread() float64 {
	if s.extraSD == 0 {
		b := s.state.Bench()
		s.extraSD = math.Abs(extraCharge(b, s.PH+s.SD, &s.comp)-extraCharge(b, s.PH-s.SD, &s.comp)) / 2
	}
	return s.extraSD
}

// farFilled is how far what is filled in may be from what was read, pH, where that was not
// vaguer, and how far short of the display, which an electrode on its way is itself.
const farFilled = 0.3

// fill takes a stop for what the charge of its neighbours says, unless it was seen to be
// otherwise: another bottle fell than the label says.
func (s *stop) fill(ph, from float64) {
	switch dir := math.Copysign(1, s.Shown-from); {
	case s.est.State == probe.Empty:
	case math.Abs(ph-s.PH) > math.Max(farFilled, 3*s.SD):
		s.extra = extraCharge(s.state.Bench(), s.PH, &s.comp)
		return
	case dir*(s.Shown-ph) > farFilled:
		s.PH, s.SD = s.Shown, vagueEnd
		s.extra = extraCharge(s.state.Bench(), s.PH, &s.comp)
		return
	}
	s.PH, s.SD, s.Settled = ph, 0.05, false
}

// between fills in the stops between two known ones (−1 and the number of
// stops stand for none): the extra charge came in proportion to what was given.
func (p *path) between(from, to int) {
	if to-from <= 1 || from < 0 && to >= len(p.stops) {
		return
	}
	total := 0.0
	for i := from + 1; i <= min(to, len(p.stops)-1); i++ {
		total += math.Abs(p.stops[i].charge)
	}
	done := 0.0
	for i := from + 1; i < to; i++ {
		s := &p.stops[i]
		done += math.Abs(s.charge)
		switch {
		case from < 0:
			s.extra = p.stops[to].extra
		case to >= len(p.stops):
			s.extra = p.stops[from].extra
		default:
			share := 0.0
			if total > 0 {
				share = done / total
			}
			s.extra = p.stops[from].extra + share*(p.stops[to].extra-p.stops[from].extra)
		}
		if ph, ok := settled(s.state.Bench(), s.comp, s.extra); ok {
			before := ph
			if i > 0 {
				before = p.stops[i-1].PH
			}
			s.fill(ph, before)
		}
	}
}

// extraCharge is the charge that a composition by the label lacks for a
// settled reading, mol: what came in beside or instead of what was logged.
func extraCharge(b *coach.Bench, ph float64, c *chem.Composition) float64 {
	return -b.Model.ChargeAt(chem.PH(ph), c.Strength/c.Water/2, c).Charge
}

// settled is the pH of a composition with some extra charge.
func settled(b *coach.Bench, c chem.Composition, extra float64) (float64, bool) {
	c.Charge += extra
	e, err := b.Model.Solve(&c)
	return e.PH, err == nil
}

// stirs is how long a beaker takes to mix and an electrode to begin to follow, s: a
// reading that does not move yet is not at rest (a choice of this project).
const stirs = 20.0

// restless is until when the reading cannot be at rest by what was added, s.
func (s *stop) restless() float64 {
	if s.moved != dosed {
		return s.since
	}
	return math.Max(s.said, s.since) + stirs
}
