package belief

import (
	"math"
	"slices"
	"sync"

	"example.org/halfdrop/chem/coach/account"
)

// outOfReach is how far below the best account the log evidence of another
// may be after one step for it to be worth a second; a figure of the numerics.
const outOfReach = 25

// Memory keeps what was worked out for a history that does not change while a
// composition is read. It is of one bench, which is not to change meanwhile.
type Memory struct {
	mu   sync.Mutex
	past *past
	// latest are the beliefs that were asked for last: of a fast meter, many readings
	// in a row have the same end.
	latest [3]*Belief
}

// recall is the belief after a history, when it was asked for of late; else nil.
func (m *Memory) recall(h account.History) *Belief {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i, bel := range m.latest {
		if bel != nil && bel.History.Equal(h) {
			copy(m.latest[1:i+1], m.latest[:i])
			m.latest[0] = bel
			return bel
		}
	}
	return nil
}

// keep keeps a belief, which nobody changes any more.
func (m *Memory) keep(bel *Belief) {
	kept := *bel
	kept.History = bel.History.Clone()
	m.mu.Lock()
	defer m.mu.Unlock()
	copy(m.latest[1:], m.latest[:])
	m.latest[0] = &kept
}

// past is the belief after the earlier compositions.
type past struct {
	hist  account.History
	accs  []account.Account
	posts []posterior // of the same numbers
	bases []bases     // of the same numbers, too
	com   *common
	used  []bool // per stock
}

// remembered is what the earlier compositions of a history have shown.
func (m *Memory) remembered(b *account.Bench, h account.History) *past {
	m.mu.Lock()
	defer m.mu.Unlock()
	if p := m.past; p != nil && p.hist.Equal(h) {
		return p
	}
	p := &past{hist: h.Clone(), accs: b.All(h), com: newCommon(h.Observations), used: make([]bool, len(b.Stocks)+1)}
	for _, a := range h.Additions {
		p.used[a.Stock+1] = true
	}
	p.posts, p.bases = make([]posterior, len(p.accs)), make([]bases, len(p.accs))
	best := math.Inf(-1)
	for i := range p.accs {
		switch acc, q := &p.accs[i], &p.posts[i]; {
		case p.shares(acc):
			continue
		case acc.Deaf():
			*q = deaf(acc, p.hist)
		default:
			*q = fit(acc, p.hist, p.com, p.like(i), best-outOfReach)
			best = max(best, q.logEv+math.Log(acc.Prior))
		}
	}
	m.past = p
	return p
}

// shares reports whether an account is no other than "as planned" so far: a
// bottle that was not used yet cannot have shown what is in it.
func (p *past) shares(acc *account.Account) bool {
	return acc.Mistake != nil && acc.Mistake.Stock > 0 && !p.used[acc.Mistake.Stock]
}

// like is where to begin the fit of an account: at that of more careful hands.
func (p *past) like(i int) []float64 {
	if n := p.perCare(); i >= n && p.posts[i-n].x != nil && !p.accs[i].Care.Fresh {
		return p.posts[i-n].x
	}
	return nil
}

// perCare is how many accounts there are for each degree of care.
func (p *past) perCare() int {
	n := 1
	for n < len(p.accs) && p.accs[n].Care == p.accs[0].Care {
		n++
	}
	return n
}

// fitAll fits every account. Those that the readings have ruled out are left where
// they are, with the most that can be said for them.
func (m *Memory) fitAll(b *account.Bench, h account.History) []posterior {
	n := max(len(h.Observations)-1, 0)
	p := m.remembered(b, h.Earlier(n))
	out := slices.Clone(p.posts)
	if n < len(h.Observations) {
		extendAll(out, p, h)
	}
	per := p.perCare()
	for i := range out {
		acc, q := &p.accs[i], &out[i]
		switch {
		case p.shares(acc):
			planned := i / per * per
			*q = out[planned]
			q.acc, q.logEv = acc, q.logEv-math.Log(p.accs[planned].Prior)
		case acc.Deaf() && n > 0:
			q.logEv += deafTo(h.Observations[0], h.Observations[n])
		}
		q.logEv += math.Log(acc.Prior)
	}
	return out
}
