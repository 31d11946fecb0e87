package coach

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
)

// BelieveSlowly is Believe by the long way, as it was done first: every account takes
// the last reading, with all its matrices, and nothing is remembered but the past.
func (b *Bench) BelieveSlowly(h History) Belief {
	n := len(h.Observations) - 1
	p := b.remembered(History{h.Additions, h.Observations[:n], h.Looked, h.Jump, h.Noise, h.Late, h.Begun})
	com := newCommon(h.Observations)
	copy(com.media, p.com.media)
	out := slices.Clone(p.posts)
	best := math.Inf(-1)
	per := p.perCare()
	for i := range out {
		hyp, q := &p.hyps[i], &out[i]
		switch {
		case p.shares(hyp):
			*q = out[i/per*per]
			q.hyp, q.logEv = hyp, q.logEv-math.Log(p.hyps[i/per*per].prior)
		case hyp.mistake != nil && hyp.mistake.Deaf:
			if n > 0 {
				q.logEv += deafTo(h.Observations[0], h.Observations[n])
			}
		default:
			b.extendSlowly(q, h, com, best-outOfReach)
			best = max(best, q.logEv+math.Log(hyp.prior))
		}
		q.logEv += math.Log(hyp.prior)
	}
	return b.weigh(h, out)
}

func (b *Bench) extendSlowly(p *posterior, h History, com *common, hopeless float64) {
	n, m, adds := len(h.Observations), len(p.x), len(h.Additions)
	past := *p
	p.v, p.w, p.scat, p.chol = make([]float64, n), make([]float64, n*m), make([]float64, n*adds), make([]float64, n*n)
	copy(p.v, past.v)
	copy(p.w, past.w)
	copy(p.scat, past.scat)
	for i := range n - 1 {
		copy(p.chol[i*n:i*n+i+1], past.chol[i*(n-1):i*(n-1)+i+1])
	}
	p.x = slices.Clone(past.x)
	md := com.media[n-1]
	p.levels = append(slices.Clip(past.levels), level{grad: make([]float64, m), scat: p.scat[(n-1)*adds:]})
	before, done := make([]float64, m), false
	bend := newBend(h.Observations, com, past.aim.shown)
	for range 3 {
		copy(before, p.x)
		b.lastSlowly(p, h, &md)
		if !p.appendSlowly(b, h, &past, bend) {
			p.logEv = math.Inf(-1)
			return
		}
		if done = settledDown(before, p.x, p.prior); done || p.logEv+math.Log(p.hyp.prior) < hopeless {
			break
		}
	}
	if p.hyp.mistake == nil {
		com.media[n-1] = md
	}
	if p.logEv+math.Log(p.hyp.prior) >= hopeless && (!done || p.bent(past.x)) {
		*p = b.fit(p.hyp, h, com, past.x, hopeless)
	}
}

func (b *Bench) lastSlowly(p *posterior, h History, md *chem.Medium) {
	n := len(h.Observations) - 1
	o := h.Observations[n]
	c := b.beaker(p.hyp, h.Additions, o.After, p.x)
	b.Model.BalanceIn(o.PH-p.x[iShift], md, &c)
	lv := b.levelAt(p.hyp, h.Additions, o.After, p.x, o.PH, md)
	copy(p.levels[n].scat, lv.scat)
	lv.scat = p.levels[n].scat
	p.levels[n] = lv
}

func (p *posterior) appendSlowly(b *Bench, h History, past *posterior, bend bend) bool {
	n, m := len(p.v), len(p.x)
	k := n - 1
	row, lv := p.chol[k*n:k*n+n], &p.levels[k]
	for i := range n {
		c := linalg.Dot(lv.scat, p.levels[i].scat) + lv.slope*p.levels[i].slope*bend.at(k, i)
		for j, v := range p.prior {
			c += lv.grad[j] * p.levels[i].grad[j] * v
		}
		row[i] = c
	}
	sd, w := h.Observations[k].SD*lv.slope, waterCharge*b.Water.Water
	row[k] += sd*sd + w*w
	for i := range k {
		for j := range i {
			row[i] -= row[j] * p.chol[i*n+j]
		}
		row[i] /= p.chol[i*n+i]
	}
	left := row[k] - linalg.Dot(row[:k], row[:k])
	if !(left > 0) || math.IsInf(left, 0) {
		return false
	}
	row[k] = math.Sqrt(left)
	p.v[k] = (-lv.value + linalg.Dot(lv.grad, p.x) - linalg.Dot(row[:k], p.v[:k])) / row[k]
	for j := range m {
		s := lv.grad[j] * p.prior[j]
		for i := range k {
			s -= row[i] * p.w[i*m+j]
		}
		p.w[k*m+j] = s / row[k]
		p.x[j] = past.x[j] + p.w[k*m+j]*p.v[k]
	}
	p.logEv = past.logEv + math.Log(-lv.slope) - math.Log(row[k]) - 0.5*math.Log(2*math.Pi) - 0.5*p.v[k]*p.v[k]
	return true
}

// Apart is by how much two beliefs differ at the most: in the weights of accounts,
// and relatively in what they say of the beaker where they count.
func Apart(a, b *Belief) (weights, figures float64) {
	weights = math.Abs(a.free.weight - b.free.weight)
	off := func(x, y float64) { figures = max(figures, math.Abs(x-y)/max(math.Abs(x), math.Abs(y), 1e-6)) }
	for i := range a.posts {
		p, q := &a.posts[i], b.of(&a.posts[i])
		weights = max(weights, math.Abs(p.weight-q.weight))
		if i > 0 && p.weight < 0.01 {
			continue
		}
		off(p.aim.shown, q.aim.shown)
		off(p.aim.shown, a.bench.aimOf(p.hyp, a.hist, p.x).shown)
		for _, to := range []float64{-0.1, 0, 0.1} {
			for stock := range a.bench.Stocks {
				g := a.bench.goalAt(p, a.hist.Additions, stock, p.aim.shown+to)
				f := a.bench.goalAt(q, a.hist.Additions, stock, q.aim.shown+to)
				off(g.perL, f.perL)
				off(g.sd, f.sd)
				off(g.lnSD, f.lnSD)
			}
		}
	}
	return weights, figures
}

// of is the posterior of the same account.
func (bel *Belief) of(p *posterior) *posterior {
	k := slices.IndexFunc(bel.posts, func(q posterior) bool { return q.hyp.care == p.hyp.care && q.hyp.code() == p.hyp.code() })
	return &bel.posts[k]
}

func (h *hypothesis) code() string {
	if h.mistake == nil {
		return ""
	}
	return h.mistake.Code
}

// DecideOn is the advice on a belief.
func (b *Bench) DecideOn(bel Belief, r Request) Advice { return b.decide(&bel, r) }

// With is the history closed by the present reading.
func (r Request) With(sd float64) History { return r.with(sd) }

// Codes are the accounts, the likeliest first.
func (bel Belief) Codes() (out []string) {
	for i := range bel.posts {
		out = append(out, bel.posts[i].hyp.code())
	}
	return out
}

// Suspicion is the probability of any mistake.
func (bel *Belief) Suspicion() float64 {
	_, w := bel.suspects()
	return w
}

// Chance is what the next addition of a stock may risk, after further ones that were
// each a share of what is left of it.
func (b *Bench) Chance(h History, stock int, shares ...float64) float64 {
	bel := b.Believe(h)
	d := bel.dosing(stock, b.pull(stock))
	left := d.most()
	for _, s := range shares {
		bel.hist.Additions = append(slices.Clip(bel.hist.Additions), Addition{Stock: stock, Volume: chem.Volume(s*left) * b.Stocks[stock].Drop})
	}
	return d.chanceOf()
}

// ShiftedPrior is the prior of all accounts with a badly calibrated scale, and of all.
func (b *Bench) ShiftedPrior(h History) (shifted, all float64) {
	for _, hyp := range b.hypotheses(h) {
		all += hyp.prior
		if hyp.care.shift > 1 {
			shifted += hyp.prior
		}
	}
	return shifted, all
}

// LastChance is the chance that an addition may have that may well be the last.
func (b *Bench) LastChance(h History) float64 { return (&Belief{bench: b, hist: h}).last() }

// CarelessPrior is the prior of the accounts whose scale is badly calibrated, and whose drops
// and bottles are little known.
func (b *Bench) CarelessPrior(h History) (sum float64) {
	for _, c := range b.hypotheses(h) {
		if c.care.shift > 1 && c.care.drop > 1 {
			sum += c.prior
		}
	}
	return sum
}

// Accused is the probability of any mistake, as a belief has it.
func Accused(bel *Belief) float64 {
	_, w := bel.suspects()
	return w
}

// Whole is the most charge, mol, that is ordered at once after a history.
func (b *Bench) Whole(h History) float64 {
	bel := b.Believe(h)
	return b.whole(&bel.posts[0])
}

// Buffers is buffers.
func (b *Bench) Buffers() bool { return b.buffers() }

// NearPhi is nearPhi.
func NearPhi(z float64) float64 { return nearPhi(z) }

// Edges reports whether a belief is so near to accusing somebody that an error of its
// weights by off decides.
func (bel *Belief) Edges(off float64) bool {
	return math.Abs(bel.Suspicion()-mistakeAt) <= off || math.Abs(bel.free.weight-strangeAt) <= off
}

// LandingOf is where the account without a name expects what leads it to a pH to land: of a
// beaker that has taken so many times from 3.4 to 3.5 what its plan says, which buffers up to
// pH 5.
func LandingOf(times, to float64) float64 {
	n := &nameless{now: Observation{PH: 3.5, SD: 0.001}, law: plannedLaw}
	for i := range n.comp.ln {
		n.comp.ln[i] = math.Log(1e-5)
		if float64(i)*capacityStep < 5 {
			n.comp.ln[i] = math.Log(1e-2)
		}
		if i > 0 {
			n.comp.sum[i] = n.comp.sum[i-1] + n.comp.piece(i-1, 1)
		}
	}
	way := n.comp.integral(3.4, 3.5)
	n.spans = []span{{from: 3.4, to: 3.5, charge: times * way, way: way, err: 1e-6, scatter: 0.01}}
	n.solve()
	charge, _ := n.ahead(to, 0)
	after, _, _ := n.landing(charge, 0)
	return after
}
