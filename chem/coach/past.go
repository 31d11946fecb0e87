package coach

import (
	"math"
	"slices"
	"sync"
)

// Figures of the numerics.
const (
	// outOfReach is how far below the best account the log evidence of another
	// may be after one step for it to be worth a second.
	outOfReach = 25
)

// memory keeps what was worked out for a history that does not change while a
// composition is read.
type memory struct {
	mu   sync.Mutex
	past *past
	// latest are the beliefs that were asked for last: of a fast meter, many readings
	// in a row have the same end.
	latest [3]*Belief
}

// recall is the belief after a history, when it was asked for of late; else nil.
func (m *memory) recall(h History) *Belief {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, bel := range m.latest {
		if bel != nil && bel.hist.equal(h) {
			copy(m.latest[1:i+1], m.latest[:i])
			m.latest[0] = bel
			return bel
		}
	}
	return nil
}

// keep keeps a belief, which nobody changes any more.
func (m *memory) keep(bel *Belief) {
	kept := *bel
	kept.hist = bel.hist.clone()
	m.mu.Lock()
	defer m.mu.Unlock()
	copy(m.latest[1:], m.latest[:])
	m.latest[0] = &kept
}

// equal reports whether two histories say the same; the readings, which differ
// most often, are compared first.
func (h History) equal(o History) bool {
	return slices.Equal(h.Observations, o.Observations) && slices.Equal(h.Additions, o.Additions) &&
		slices.Equal(h.Looked, o.Looked) && h.Jump == o.Jump && h.Noise == o.Noise && h.Late == o.Late && h.Begun == o.Begun
}

// clone is a history that shares nothing.
func (h History) clone() History {
	h.Additions, h.Observations, h.Looked = slices.Clone(h.Additions), slices.Clone(h.Observations), slices.Clone(h.Looked)
	return h
}

// past is the belief after the earlier compositions.
type past struct {
	hist  History
	hyps  []hypothesis
	posts []posterior // of the same numbers
	bases []bases     // of the same numbers, too
	com   *common
	used  []bool // per stock
}

// remembered is what the earlier compositions of a history have shown.
func (b *Bench) remembered(h History) *past {
	b.memory.mu.Lock()
	defer b.memory.mu.Unlock()
	if p := b.memory.past; p != nil && p.hist.equal(h) {
		return p
	}
	p := &past{hist: h.clone(), hyps: b.hypotheses(h), com: newCommon(h.Observations), used: make([]bool, len(b.Stocks)+1)}
	for _, a := range h.Additions {
		p.used[a.Stock+1] = true
	}
	p.posts, p.bases = make([]posterior, len(p.hyps)), make([]bases, len(p.hyps))
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

// fitAll fits every account. Those that the readings have ruled out are left where
// they are, with the most that can be said for them.
func (b *Bench) fitAll(h History) []posterior {
	n := max(len(h.Observations)-1, 0)
	p := b.remembered(History{h.Additions, h.Observations[:n], h.Looked, h.Jump, h.Noise, h.Late, h.Begun})
	out := slices.Clone(p.posts)
	if n < len(h.Observations) {
		b.extendAll(out, p, h)
	}
	per := p.perCare()
	for i := range out {
		hyp, q := &p.hyps[i], &out[i]
		switch m := hyp.mistake; {
		case p.shares(hyp):
			*q = out[i/per*per]
			q.hyp, q.logEv = hyp, q.logEv-math.Log(p.hyps[i/per*per].prior)
		case m != nil && m.Deaf && n > 0:
			q.logEv += deafTo(h.Observations[0], h.Observations[n])
		}
		q.logEv += math.Log(hyp.prior)
	}
	return out
}
