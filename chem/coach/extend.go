package coach

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
)

// What a further reading of one composition says is worked out on top of what the
// earlier compositions have shown, and only as far as it counts: accounts that it
// cannot bring back are left out, the others get a row for the reading, and the
// matrices are put together of those alone that are listened to in the end.

// Figures of the numerics.
const (
	// From a move of ln of an amount, a drop or a strength by this on, what the
	// earlier readings say is worked out anew there.
	bentFrom = 0.02
	// ruledOut is how far below the best account the log evidence of another may be
	// at the most for the reading to be heard under it at all.
	ruledOut = outOfReach + 5
)

// tail is what the last reading of a history adds to a fit of the others.
type tail struct {
	past *posterior
	row  []float64 // of the Cholesky factor
	w    []float64 // row of posterior.w
	v    float64
	lv   level

	whole *posterior // with all rows, once they were put together
}

// extension works out what the last reading says.
type extension struct {
	b    *Bench
	h    History
	com  *common
	best float64 // log evidence, with the prior, of the best account so far
	room []float64
}

// extendAll takes the last observation of a history into the accounts, which hold
// what all others have shown.
func (b *Bench) extendAll(out []posterior, p *past, h History) {
	e := extension{b: b, h: h, com: newCommon(h.Observations), best: math.Inf(-1)}
	copy(e.com.media, p.com.media)
	for i := range out {
		q, prior := &out[i], math.Log(p.hyps[i].prior)
		switch m := q.hyp; {
		case p.shares(&p.hyps[i]) || m.mistake != nil && m.mistake.Deaf:
			continue
		case m.mistake != nil && e.most(q)+prior < e.best-ruledOut:
			q.logEv = e.most(q)
			continue
		}
		e.extend(q, &p.posts[i], e.best-outOfReach)
		e.best = max(e.best, q.logEv+prior)
	}
}

// most is what the log evidence of an account can be at the most with the last
// reading: no density is above that at the centre of the reading's own.
func (e *extension) most(p *posterior) float64 {
	sd := e.h.Observations[len(e.h.Observations)-1].SD
	return p.logEv - math.Log(sd) - 0.5*math.Log(2*math.Pi)
}

// take is room for n numbers.
func (e *extension) take(n int) []float64 {
	if n > len(e.room) {
		e.room = make([]float64, max(n, roomAtOnce))
	}
	s := e.room[:n:n]
	e.room = e.room[n:]
	return s
}

// roomAtOnce is how many numbers room is made for at once.
const roomAtOnce = 1024

// extend takes the last observation into an account, the others staying as they are;
// where that moves it far, or it does not come to rest, they are looked at anew. It stops early when the log
// evidence with the prior is below hopeless.
func (e *extension) extend(p, past *posterior, hopeless float64) {
	n, m, prior := len(e.h.Observations), len(p.prior), math.Log(p.hyp.prior)
	p.tail = &tail{past: past, row: e.take(n), w: e.take(m), lv: level{grad: e.take(m), scat: e.take(len(e.h.Additions))}}
	p.x = e.take(m)
	copy(p.x, past.x)
	bend := bend{com: e.com, off: e.take(n), toAim: e.take(n)}
	bend.see(e.h.Observations, past.aim.shown)
	md, before, done := e.com.media[n-1], e.take(m), false
	for range 3 {
		copy(before, p.x)
		e.b.last(p, e.h, &md)
		if !p.append(e.b, e.h, bend) {
			p.logEv = math.Inf(-1)
			return
		}
		if done = settledDown(before, p.x, p.prior); done || p.logEv+prior < hopeless {
			break
		}
	}
	if p.hyp.mistake == nil {
		e.com.media[n-1] = md
	}
	if p.logEv+prior >= hopeless && (!done || p.bent(past.x)) {
		*p = e.b.fit(p.hyp, e.h, e.com, past.x, hopeless)
	}
}

// bent reports whether the unknowns have moved so far that the earlier readings
// are to be looked at anew from there.
func (p *posterior) bent(from []float64) bool {
	for i := range from {
		if i != iExcess && i != iShift && i < len(from)-1 && math.Abs(p.x[i]-from[i]) > bentFrom {
			return true
		}
	}
	return false
}

// last is the level of the last observation, in the medium that goes with it,
// which is brought up to date.
func (b *Bench) last(p *posterior, h History, md *chem.Medium) {
	o, lv := h.Observations[len(h.Observations)-1], &p.tail.lv
	f := b.factors(p.hyp, p.x)
	c := b.added(p.hyp, h.Additions, 0, o.After, &f, p.x, b.untouched(p.hyp, p.x))
	b.Model.BalanceIn(o.PH-p.x[iShift], md, &c)
	clear(lv.grad)
	clear(lv.scat)
	b.levelOf(lv, p.hyp, h.Additions, o.After, p.x, &f, &c, o.PH, md)
}

// append takes a step with the level of the last observation, the rest staying
// where it is.
func (p *posterior) append(b *Bench, h History, bend bend) bool {
	t := p.tail
	past, row, lv, m := t.past, t.row, &t.lv, len(p.x)
	k := len(row) - 1
	for i := range row {
		other := lv
		if i < k {
			other = &past.levels[i]
		}
		both := h.Observations[i].After // only these additions are in both
		c := linalg.Dot(lv.scat[:both], other.scat) + lv.slope*other.slope*bend.at(k, i)
		for j, v := range p.prior {
			c += lv.grad[j] * other.grad[j] * v
		}
		row[i] = c
	}
	sd, w := h.Observations[k].SD*lv.slope, waterCharge*b.Water.Water
	row[k] += sd*sd + w*w
	for i := range k {
		s := row[i]
		for j := range i {
			s -= row[j] * past.chol[i*k+j]
		}
		row[i] = s / past.chol[i*k+i]
	}
	left := row[k] - linalg.Dot(row[:k], row[:k])
	if !(left > 0) || math.IsInf(left, 0) {
		return false
	}
	row[k] = math.Sqrt(left)
	t.v = -lv.value + linalg.Dot(lv.grad, p.x)
	t.v = (t.v - linalg.Dot(row[:k], past.v[:k])) / row[k]
	for j := range m {
		s := lv.grad[j] * p.prior[j]
		for i := range k {
			s -= row[i] * past.w[i*m+j]
		}
		t.w[j] = s / row[k]
		p.x[j] = past.x[j] + t.w[j]*t.v
	}
	p.logEv = past.logEv + math.Log(-lv.slope) - math.Log(row[k]) - 0.5*math.Log(2*math.Pi) - 0.5*t.v*t.v
	return true
}

// complete puts together what predictions are made from.
func (p *posterior) complete() {
	t := p.tail
	if t == nil {
		return
	}
	if t.whole == nil {
		n, m, adds := len(t.row), len(p.x), len(t.lv.scat)
		all := make([]float64, n*(1+m+adds+n))
		take := func(k int) []float64 {
			s := all[:k:k]
			all = all[k:]
			return s
		}
		q := &posterior{v: take(n), w: take(n * m), scat: take(n * adds), chol: take(n * n)}
		copy(q.v, t.past.v)
		copy(q.w, t.past.w)
		copy(q.scat, t.past.scat)
		for i := range n - 1 {
			copy(q.chol[i*n:i*n+i+1], t.past.chol[i*(n-1):])
		}
		q.v[n-1] = t.v
		copy(q.w[(n-1)*m:], t.w)
		copy(q.scat[(n-1)*adds:], t.lv.scat)
		copy(q.chol[(n-1)*n:], t.row)
		t.whole = q
	}
	p.v, p.w, p.scat, p.chol, p.tail = t.whole.v, t.whole.w, t.whole.scat, t.whole.chol, nil
}
