package find

import (
	"cmp"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/linalg"
)

// Figures of judgement, a choice of this project.
const (
	restTime   = 40.0  // s from an addition to a reading at rest, where nothing is known of it
	dropTime   = 0.6   // s a drop takes
	pourTime   = 5.0   // s a burette takes to be set and read
	mlTime     = 2.0   // s a mL takes: 0.5 mL/s (outflow of a burette, USP <31>)
	usualSD    = 0.004 // pH, of a reading to come
	lateShare  = 0.02  // of a step in pH, that an electrode leaves open for minutes (recordings: 0.2 to 5 %)
	leastReads = 4     // compositions read before it is done: the start, and both sides
	looksBack  = 1.04  // done when no addition is expected to make the spread smaller by this factor
	vagueSD    = 0.06  // pH, of a reading that will do when it does not come to rest
	longest    = 120.0 // s, after which that counts
	uselessSD  = 0.3   // pH, of one that says nothing
	misfitAt   = 16.0  // χ² over the number of readings at which the account is called wrong
	misfitFrom = 3     // readings
	staysSDs   = 1.6   // spreads of the equivalence point that an addition stays before it,
	knownTimes = 1.5   // while that is not known to this many times the spread wanted
	beyondMost = 1.6   // equivalence volumes, as far as an addition is thought of
)

// node is a point of the Gauss–Hermite rule of five points for the normal law
// (Abramowitz & Stegun, table 25.10, turned to a variance of 1: from memory;
// TestNodes checks its moments).
type node struct{ z, w float64 }

var nodes = []node{
	{0, 8.0 / 15}, {1.3556261799742659, 0.2220759220056126}, {-1.3556261799742659, 0.2220759220056126},
	{2.8569700138728056, 0.0112574113277207}, {-2.8569700138728056, 0.0112574113277207},
}

// option is an addition that is thought of.
type option struct {
	stock  int
	steps  float64
	gain   float64 // expected ln(spread now / spread then), the spread wanted being enough
	rate   float64 // the same a second
	after  float64 // reading expected
	low    float64 // central 95 %
	high   float64
	beyond bool // expected past the main equivalence point
}

// Plan is what an advice rests on.
type Plan struct {
	Belief *Belief
	Found  Found
}

// Advise says what to do next.
func (b *Bench) Advise(r coach.Request) coach.Advice {
	a, _ := b.Consider(r)
	return a
}

// Consider is Advise with what it rests on; nil when nothing can be computed.
func (b *Bench) Consider(r coach.Request) (coach.Advice, *Plan) {
	adv := coach.Advice{Do: coach.Wait, Reason: coach.Settling, Aim: b.usualAim(), Tolerance: aimWidth}
	if !readable(r.Now) {
		return adv, nil
	}
	bel, err := b.Believe(with(r, r.Now.SD))
	if err != nil {
		adv.Do, adv.Reason = coach.Check, coach.Misfit
		return adv, nil
	}
	roads := bel.roads()
	f := bel.found(bel.along(roads))
	p := &Plan{Belief: bel, Found: f}
	if f.Main >= 0 {
		adv.Aim = f.Stations[f.Main].Shown
	}
	confirmed := func(why coach.Reason) bool { return slices.Contains(r.Confirmed, why.String()) }
	switch {
	case bel.wrong() && !confirmed(coach.Misfit):
		adv.Do, adv.Reason = coach.Check, coach.Misfit
		return adv, p
	case b.What != Blank && f.Main < 0 && len(bel.lv) >= misfitFrom && !confirmed(coach.NoPoint):
		adv.Do, adv.Reason = coach.Check, coach.NoPoint
		return adv, p
	}
	sided := f.sided(len(bel.lv))
	if f.Reached() && sided {
		adv.Do, adv.Reason = coach.Stop, coach.Sure
		return adv, p
	}
	opts := bel.options(roads, &f)
	if len(opts) == 0 {
		adv.Do, adv.Reason = coach.Check, coach.NoRoom
		if sided || f.Passed { // what is passed cannot be read again: a repeat comes closer
			adv.Do, adv.Reason = coach.Stop, coach.AsGood
		}
		return adv, p
	}
	o := best(opts, &f)
	if !o.worth() && sided {
		adv.Do, adv.Reason = coach.Stop, coach.AsGood
		return adv, p
	}
	adv.Do, adv.Reason, adv.Stock, adv.Drops = coach.Add, coach.Tells, o.stock, o.steps
	adv.Volume = chem.Volume(o.steps) * b.Stocks[o.stock].Step
	adv.After, adv.Low, adv.High = o.after, o.low, o.high
	return adv, p
}

// readable reports whether a reading says enough to go by: at rest, or long enough in
// coming there and near it.
func readable(now coach.Present) bool {
	near := now.Age > longest && now.SD < vagueSD && math.Abs(now.Shown-now.PH) < vagueSD
	return (now.Settled || now.Stands || near) && now.SD < uselessSD
}

// wrong reports whether the readings are those of no such bench.
func (bel *Belief) wrong() bool { return bel.Misfit > misfitAt && len(bel.lv) >= misfitFrom }

// worth reports whether an addition is expected to tell enough to be made for it.
func (o *option) worth() bool { return o.gain >= math.Log(looksBack) }

// usualAim is the pH of the equivalence point as planned.
func (b *Bench) usualAim() float64 {
	b.mu.Lock()
	aim := b.aim
	b.mu.Unlock()
	if aim == 0 {
		aim = b.Forecast().Aim
		b.mu.Lock()
		b.aim = aim
		b.mu.Unlock()
	}
	return aim
}

// aimWidth is the half width of what is called the equivalence point on a lane, pH.
const aimWidth = 0.5

// with is the history closed by the present reading with a spread.
func with(r coach.Request, sd float64) coach.History {
	h := r.History
	h.Observations = append(slices.Clip(slices.Clone(h.Observations)), coach.Observation{After: len(h.Additions), PH: r.Now.PH, SD: sd})
	return h
}

func (bel *Belief) roads() []road {
	out := make([]road, len(bel.bench.Stocks))
	for j := range out {
		out[j] = bel.roadOf(j)
	}
	return out
}

func (bel *Belief) along(roads []road) []Station {
	var out []Station
	for j := range roads {
		out = append(out, bel.stations(&roads[j])...)
	}
	return out
}

// options are the additions worth thinking of.
func (bel *Belief) options(roads []road, f *Found) []option {
	b := bel.bench
	adds := bel.hist.Additions
	vol := b.volumes(adds, len(adds))
	left := b.Vessel - b.Start
	for _, v := range vol {
		left -= chem.Volume(v)
	}
	var out []option
	for j := range roads {
		s := &b.Stocks[j]
		main := -1
		for i, st := range f.Stations {
			if st.Stock == j && st.Volume <= b.Vessel-b.Start && (main < 0 || st.Sharp > f.Stations[main].Sharp) {
				main = i
			}
		}
		for _, steps := range bel.counts(&roads[j], vol[j], left.Litres(), f, main) {
			if o, ok := bel.weigh(&roads[j], vol[j], steps, f); ok {
				o.beyond = main >= 0 && vol[j]+steps*s.Step.Litres() > f.Stations[main].Volume.Litres()
				out = append(out, o)
			}
		}
	}
	return out
}

// counts are the whole numbers of steps of a stock to think of: places along the
// road, and some close to each equivalence point.
func (bel *Belief) counts(r *road, done, left float64, f *Found, main int) []float64 {
	step := bel.bench.Stocks[r.stock].Step.Litres()
	most := math.Floor(left / step)
	var at []float64
	last := math.Inf(-1)
	for _, m := range r.rows {
		if math.Abs(m.ph-last) >= 0.25 {
			at, last = append(at, m.vol), m.ph
		}
	}
	for i, st := range f.Stations {
		if st.Stock != r.stock {
			continue
		}
		v, sd := st.Volume.Litres(), st.SD.Litres()
		for _, k := range []float64{-3, -2, -1, -0.5, 0, 0.5, 1, 2, 3} {
			at = append(at, v+k*math.Min(sd, 0.2*v))
		}
		if i == main {
			for _, share := range []float64{0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.02, 1.05, 1.1, 1.2} {
				at = append(at, share*v)
			}
		}
	}
	if main >= 0 {
		st := f.Stations[main]
		limit := beyondMost * st.Volume.Litres()
		known := chem.Volume(knownTimes*f.Goal) * st.Volume
		if f.What == Blank {
			limit = math.Max(limit, blankGuess) // the point may lie next to nothing
			known = chem.Volume(knownTimes * f.Goal)
		}
		if before := st.Volume.Litres() * math.Exp(-staysSDs*float64(st.SD/st.Volume)); !bel.passed(st) && st.SD > known && before > done+step {
			limit = before // what is passed cannot be read again
			at = append(at, before)
		}
		at = slices.DeleteFunc(at, func(v float64) bool { return v > limit })
	}
	seen := map[float64]bool{}
	var out []float64
	for _, v := range at {
		n := math.Max(1, math.Round((v-done)/step))
		if v > done && n <= most && !seen[n] {
			seen[n] = true
			out = append(out, n)
		}
	}
	slices.Sort(out)
	return out
}

// weigh is what the reading after so many steps is expected to tell.
func (bel *Belief) weigh(r *road, done, steps float64, f *Found) (o option, ok bool) {
	b := bel.bench
	s := &b.Stocks[r.stock]
	v := done + steps*s.Step.Litres()
	mean, ok := r.at(v)
	if !ok {
		return o, false
	}
	o = option{stock: r.stock, steps: steps, after: mean.shown}
	g := bel.goal(f.Stations)
	lead := bel.times(mean.lv.grad) // where the uncertain charge at the place comes from
	spread := math.Sqrt(math.Max(linalg.Dot(mean.lv.grad, lead), 0))
	add := coach.Addition{Stock: r.stock, Volume: chem.Volume(steps) * s.Step, Drops: steps}
	sc := b.scatterOf(append(slices.Clip(slices.Clone(bel.hist.Additions)), add))
	sum := 0.0
	for _, n := range nodes {
		// With so much more charge than believed the curve is that of another volume.
		w := v + n.z*spread/math.Abs(mean.lv.per[r.stock])
		at, in := r.at(w)
		if !in {
			at = r.rows[0]
			if w > at.vol {
				at = r.rows[len(r.rows)-1]
			}
		}
		sum += n.w * bel.tells(g, &at.lv, &sc, f)
	}
	lo, hi := v-1.96*spread/math.Abs(mean.lv.per[r.stock]), v+1.96*spread/math.Abs(mean.lv.per[r.stock])
	o.low, o.high = r.ends(lo, hi)
	o.gain = sum
	o.rate = o.gain / s.takes(steps)
	return o, true
}

// ends are the readings at two volumes, the lower first.
func (r *road) ends(lo, hi float64) (low, high float64) {
	n := len(r.rows)
	get := func(v float64) float64 {
		if m, ok := r.at(v); ok {
			return m.shown
		}
		if v < r.rows[0].vol {
			return r.rows[0].shown
		}
		return r.rows[n-1].shown
	}
	low, high = get(lo), get(hi)
	return math.Min(low, high), math.Max(low, high)
}

// tells is ln(spread now / spread then) of the answer, had a reading at a level
// been made after an addition. What is better than wanted does not count.
func (bel *Belief) tells(g []float64, lv *level, sc *scatter, f *Found) float64 {
	gain := bel.shrinks(g, lv, sc, f.Relative(), 0.7*f.Goal)
	if f.What == Constant {
		pk := unit(len(bel.x), bel.bench.iPK(0))
		gain = gain/2 + bel.shrinks(pk, lv, sc, f.PKSD, 0.7*f.GoalPK)/2
	}
	return gain
}

// toCome is the spread of a reading after a step, pH: what its electrode leaves open for
// minutes goes with that.
func toCome(step float64) float64 { return math.Hypot(usualSD, lateShare*step) }

func (bel *Belief) shrinks(g []float64, lv *level, sc *scatter, now, want float64) float64 {
	b, n, m := bel.bench, len(bel.lv), len(bel.x)
	if now <= want {
		return 0
	}
	last := len(bel.hist.Additions) + 1
	k := make([]float64, n)
	for i := range k {
		k[i] = linalg.Dot(bel.jp[i*m:(i+1)*m], lv.grad) + b.noise(sc, bel.hist.Observations[i].After, last, &bel.lv[i], lv) + b.bend(&bel.lv[i], lv)
	}
	linalg.Forward(bel.l, n, k)
	w := bel.w(g)
	cov, own := -linalg.Dot(w, k), -linalg.Dot(k, k)+b.own(lv, toCome(lv.shown-bel.hist.Observations[n-1].PH))+b.bend(lv, lv)+b.noise(sc, last, last, lv, lv)
	for i := range g {
		cov += g[i] * bel.p0[i] * lv.grad[i]
		own += lv.grad[i] * bel.p0[i] * lv.grad[i]
	}
	before := bel.variance(g)
	after := math.Max(before-cov*cov/own, 0)
	wide := bel.widening()
	return math.Log(now / math.Max(math.Sqrt(after*wide), want))
}

// best is the option that tells most a second. When the spread is reached and
// nothing was read beyond the equivalence point, it is one beyond.
func best(opts []option, f *Found) option {
	if f.Reached() && !f.Passed && f.What != Blank {
		if i := slices.IndexFunc(opts, func(o option) bool { return o.beyond }); i >= 0 {
			return opts[i]
		}
	}
	return slices.MaxFunc(opts, func(a, c option) int { return cmp.Compare(a.rate, c.rate) })
}
