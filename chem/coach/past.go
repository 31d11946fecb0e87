package coach

import (
	"math"
	"slices"
	"sync"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
)

// Figures of the numerics.
const (
	// outOfReach is how far below the best account the log evidence of another
	// may be after one step for it to be worth a second.
	outOfReach = 25
	// From a move of ln of an amount, a drop or a strength by this on, what the
	// earlier readings say is worked out anew there.
	bentFrom = 0.02
)

// memory keeps what was worked out for a history that does not change while a
// composition is read.
type memory struct {
	mu   sync.Mutex
	past *past
}

// past is the belief after the earlier compositions.
type past struct {
	hist  History
	hyps  []hypothesis
	posts []posterior // of the same numbers
	com   *common
	used  []bool // per stock
}

// remembered is what the earlier compositions of a history have shown.
func (b *Bench) remembered(h History) *past {
	b.memory.mu.Lock()
	defer b.memory.mu.Unlock()
	if p := b.memory.past; p != nil && slices.Equal(p.hist.Additions, h.Additions) && slices.Equal(p.hist.Observations, h.Observations) && slices.Equal(p.hist.Looked, h.Looked) && p.hist.Jump == h.Jump {
		return p
	}
	p := &past{hist: History{slices.Clone(h.Additions), slices.Clone(h.Observations), slices.Clone(h.Looked), h.Jump}, hyps: b.hypotheses(h), com: newCommon(h.Observations), used: make([]bool, len(b.Stocks)+1)}
	for _, a := range h.Additions {
		p.used[a.Stock+1] = true
	}
	p.posts = make([]posterior, len(p.hyps))
	best := math.Inf(-1)
	for i := range p.hyps {
		hyp := &p.hyps[i]
		q := &p.posts[i]
		switch {
		case p.shares(hyp):
			continue
		case hyp.mistake != nil && hyp.mistake.Deaf:
			*q = b.deaf(hyp, p.hist)
		default:
			*q = b.fit(hyp, p.hist, p.com, p.like(i), best-outOfReach)
			best = max(best, q.logEv+math.Log(hyp.prior))
		}
	}
	b.memory.past = p
	return p
}

// shares reports whether an account is no other than "as planned" so far: a
// bottle that was not used yet cannot have shown what is in it.
func (p *past) shares(h *hypothesis) bool {
	return h.mistake != nil && h.mistake.Stock > 0 && !p.used[h.mistake.Stock]
}

// like is where to begin the fit of an account: at that of more careful hands.
func (p *past) like(i int) []float64 {
	if n := p.perCare(); i >= n && p.posts[i-n].x != nil && !p.hyps[i].care.fresh {
		return p.posts[i-n].x
	}
	return nil
}

// perCare is how many accounts there are for each degree of care.
func (p *past) perCare() int {
	n := 1
	for n < len(p.hyps) && p.hyps[n].care == p.hyps[0].care {
		n++
	}
	return n
}

// fitAll fits every account.
func (b *Bench) fitAll(h History) []posterior {
	n := max(len(h.Observations)-1, 0)
	p := b.remembered(History{h.Additions, h.Observations[:n], h.Looked, h.Jump})
	com := p.com
	if n < len(h.Observations) {
		com = newCommon(h.Observations)
		copy(com.media, p.com.media)
	}
	out := make([]posterior, len(p.hyps))
	best := math.Inf(-1)
	per := p.perCare()
	for i := range p.hyps {
		hyp, q := &p.hyps[i], &out[i]
		switch m := hyp.mistake; {
		case p.shares(hyp):
			*q = out[i/per*per]
			q.hyp, q.logEv = hyp, q.logEv-math.Log(p.hyps[i/per*per].prior)
		case m != nil && m.Deaf:
			*q = p.posts[i]
			if n > 0 {
				q.logEv += deafTo(h.Observations[0], h.Observations[n])
			}
		default:
			*q = p.posts[i]
			if n < len(h.Observations) {
				b.extend(q, h, com, best-outOfReach)
			}
			best = max(best, q.logEv+math.Log(hyp.prior))
		}
		q.logEv += math.Log(hyp.prior)
	}
	return out
}

// extend takes the last observation of a history, on top of a fit of all others.
func (b *Bench) extend(p *posterior, h History, com *common, hopeless float64) {
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
	lv := level{grad: make([]float64, m), scat: p.scat[(n-1)*adds:]}
	p.levels = append(slices.Clip(past.levels), lv)
	before := make([]float64, m)
	bend := newBend(h.Observations, com, past.aim.shown)
	for range 3 {
		copy(before, p.x)
		b.last(p, h, &md)
		if !p.append(b, h, &past, bend) {
			p.logEv = math.Inf(-1)
			return
		}
		if settledDown(before, p.x, p.prior) || p.logEv+math.Log(p.hyp.prior) < hopeless {
			break
		}
	}
	if p.hyp.mistake == nil {
		com.media[n-1] = md
	}
	if p.logEv+math.Log(p.hyp.prior) >= hopeless && p.bent(past.x) {
		*p = b.fit(p.hyp, h, com, p.x, hopeless)
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
	n := len(h.Observations) - 1
	o, lv := h.Observations[n], &p.levels[n]
	f := b.factors(p.hyp, p.x)
	c := b.added(p.hyp, h.Additions, 0, o.After, &f, p.x, b.untouched(p.hyp, p.x))
	b.Model.BalanceIn(o.PH-p.x[iShift], md, &c)
	clear(lv.grad)
	clear(lv.scat)
	b.levelOf(lv, p.hyp, h.Additions, o.After, p.x, &f, &c, o.PH, md)
}

// append takes a step with the level of the last observation, the rest staying
// where it is.
func (p *posterior) append(b *Bench, h History, past *posterior, bend bend) bool {
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
		s := row[i]
		for j := range i {
			s -= row[j] * p.chol[i*n+j]
		}
		row[i] = s / p.chol[i*n+i]
	}
	left := row[k] - linalg.Dot(row[:k], row[:k])
	if !(left > 0) || math.IsInf(left, 0) {
		return false
	}
	row[k] = math.Sqrt(left)
	p.v[k] = -lv.value + linalg.Dot(lv.grad, p.x)
	p.v[k] = (p.v[k] - linalg.Dot(row[:k], p.v[:k])) / row[k]
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
