package belief

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/linalg"
)

// Slowly is Believe by the long way, as it was done first: every account takes
// the last reading, with all its matrices, and nothing is remembered but the past.
func (m *Memory) Slowly(b *account.Bench, h account.History) Belief {
	n := len(h.Observations) - 1
	p := m.remembered(b, h.Earlier(n))
	com := newCommon(h.Observations)
	copy(com.media, p.com.media)
	out := slices.Clone(p.posts)
	best := math.Inf(-1)
	per := p.perCare()
	for i := range out {
		acc, q := &p.accs[i], &out[i]
		switch {
		case p.shares(acc):
			*q = out[i/per*per]
			q.acc, q.logEv = acc, q.logEv-math.Log(p.accs[i/per*per].Prior)
		case acc.Deaf():
			if n > 0 {
				q.logEv += deafTo(h.Observations[0], h.Observations[n])
			}
		default:
			q.extendSlowly(h, com, best-outOfReach)
			best = max(best, q.logEv+math.Log(acc.Prior))
		}
		q.logEv += math.Log(acc.Prior)
	}
	return weigh(b, h, out)
}

func (p *posterior) extendSlowly(h account.History, com *common, hopeless float64) {
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
	p.levels = append(slices.Clip(past.levels), account.Level{Grad: make([]float64, m), Scat: p.scat[(n-1)*adds:]})
	before, done := make([]float64, m), false
	bend := newBend(h.Observations, com, past.aim.Shown)
	for range 3 {
		copy(before, p.x)
		p.lastSlowly(h, &md)
		if !p.appendSlowly(h, &past, bend) {
			p.logEv = math.Inf(-1)
			return
		}
		if done = settledDown(before, p.x, p.prior); done || p.logEv+math.Log(p.acc.Prior) < hopeless {
			break
		}
	}
	if p.acc.Mistake == nil {
		com.media[n-1] = md
	}
	if p.logEv+math.Log(p.acc.Prior) >= hopeless && (!done || p.bent(past.x)) {
		*p = fit(p.acc, h, com, past.x, hopeless)
	}
}

func (p *posterior) lastSlowly(h account.History, md *chem.Medium) {
	n := len(h.Observations) - 1
	o := h.Observations[n]
	adds := h.Additions[:o.After]
	c := p.acc.Beaker(adds, p.x)
	p.acc.Held(chem.PH(o.PH), p.x, &c, md)
	lv := p.acc.LevelAt(adds, p.x, chem.PH(o.PH), md)
	copy(p.levels[n].Scat, lv.Scat)
	lv.Scat = p.levels[n].Scat
	p.levels[n] = lv
}

func (p *posterior) appendSlowly(h account.History, past *posterior, bend bend) bool {
	n, m := len(p.v), len(p.x)
	k := n - 1
	row, lv := p.chol[k*n:k*n+n], &p.levels[k]
	for i := range n {
		c := linalg.Dot(lv.Scat, p.levels[i].Scat) + lv.Slope*p.levels[i].Slope*bend.at(k, i)
		for j, v := range p.prior {
			c += lv.Grad[j] * p.levels[i].Grad[j] * v
		}
		row[i] = c
	}
	sd, w := h.Observations[k].SD*lv.Slope, p.acc.LeastSD()
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
	p.v[k] = (-lv.Value + linalg.Dot(lv.Grad, p.x) - linalg.Dot(row[:k], p.v[:k])) / row[k]
	for j := range m {
		s := lv.Grad[j] * p.prior[j]
		for i := range k {
			s -= row[i] * p.w[i*m+j]
		}
		p.w[k*m+j] = s / row[k]
		p.x[j] = past.x[j] + p.w[k*m+j]*p.v[k]
	}
	p.logEv = past.logEv + math.Log(-lv.Slope) - math.Log(row[k]) - 0.5*math.Log(2*math.Pi) - 0.5*p.v[k]*p.v[k]
	return true
}

// Apart is by how much two beliefs differ at the most: in the weights of accounts,
// and relatively in what they say of the beaker where they count.
func Apart(a, b *Belief) (weights, figures float64) {
	weights = math.Abs(a.Free.Weight - b.Free.Weight)
	off := func(x, y float64) { figures = max(figures, math.Abs(x-y)/max(math.Abs(x), math.Abs(y), 1e-6)) }
	for i := range a.posts {
		p, q := &a.posts[i], b.of(&a.posts[i])
		weights = max(weights, math.Abs(p.weight-q.weight))
		if i > 0 && p.weight < 0.01 {
			continue
		}
		off(p.aim.Shown, q.aim.Shown)
		off(p.aim.Shown, p.acc.Aim(a.History.Additions, p.x).Shown)
		for _, to := range []float64{-0.1, 0, 0.1} {
			for stock := range a.Bench.Stocks {
				g := a.goal(p, stock, p.aim.Shown+to)
				f := b.goal(q, stock, q.aim.Shown+to)
				off(g.PerL, f.PerL)
				off(g.SD, f.SD)
				off(g.LnSD, f.LnSD)
			}
		}
	}
	return weights, figures
}

// of is the posterior of the same account.
func (bel *Belief) of(p *posterior) *posterior {
	k := slices.IndexFunc(bel.posts, func(q posterior) bool { return q.acc.Care == p.acc.Care && q.code() == p.code() })
	return &bel.posts[k]
}

func (p *posterior) code() string {
	if p.acc.Mistake == nil {
		return ""
	}
	return p.acc.Mistake.Code
}

// Codes are the accounts, the likeliest first.
func (bel *Belief) Codes() (out []string) {
	for i := range bel.posts {
		out = append(out, bel.posts[i].code())
	}
	return out
}

// Edges reports whether a belief is so near to accusing somebody that an error of its
// weights by off decides.
func (bel *Belief) Edges(off float64) bool {
	_, w := bel.Suspects()
	return math.Abs(w-NamedAt) <= off || math.Abs(bel.Free.Weight-strangeAt) <= off
}

// Buffers is buffers.
func Buffers(b *account.Bench) bool { return buffers(b) }

// sum is the probability of the accounts of a kind.
func (bel *Belief) sum(is func(*posterior) bool) (w float64) {
	for i := range bel.posts {
		if p := &bel.posts[i]; is(p) {
			w += p.weight
		}
	}
	return w
}

// Weight is the probability of the accounts of a code, whatever the hands; "" is as planned.
func (bel *Belief) Weight(code string) float64 {
	return bel.sum(func(p *posterior) bool { return p.code() == code })
}

// BadScale is the probability that the scale was calibrated badly, or never.
func (bel *Belief) BadScale() float64 {
	return bel.sum(func(p *posterior) bool { return p.acc.Care.Shift > 1 })
}

// Fresh is the probability of the accounts that have forgotten what earlier runs have shown.
func (bel *Belief) Fresh() float64 {
	return bel.sum(func(p *posterior) bool { return p.acc.Care.Fresh })
}

// Careful is the probability of as planned by careful hands that go by what is remembered, with a
// scale that is calibrated.
func (bel *Belief) Careful() float64 {
	return bel.sum(func(p *posterior) bool { return p.code() == "" && remembers(p) && p.acc.Care.Scatter == 1 })
}

// Careless is that of careless ones.
func (bel *Belief) Careless() float64 {
	return bel.sum(func(p *posterior) bool { return p.code() == "" && remembers(p) && p.acc.Care.Scatter > 1 })
}

func remembers(p *posterior) bool { return !p.acc.Care.Fresh && p.acc.Care.Shift == 1 }
