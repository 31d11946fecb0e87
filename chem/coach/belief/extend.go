package belief

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
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
	bentFrom    = 0.02
	shiftedFrom = 0.1 // and of the pH scale, pH
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
	lv   account.Level

	whole *posterior // with all rows, once they were put together
}

// extension works out what the last reading says.
type extension struct {
	h    account.History
	past *past
	com  *common
	best float64 // log evidence, with the prior, of the best account so far
	room []float64
}

// extendAll takes the last observation of a history into the accounts, which hold
// what all others have shown.
func extendAll(out []posterior, p *past, h account.History) {
	e := extension{h: h, past: p, com: newCommon(h.Observations), best: math.Inf(-1)}
	copy(e.com.media, p.com.media)
	for _, i := range p.likeliestFirst() { // then the others are soon known to be out of reach
		q, prior := &out[i], math.Log(p.accs[i].Prior)
		switch {
		case p.shares(&p.accs[i]) || q.acc.Deaf():
			continue
		case q.acc.Mistake != nil && e.most(q)+prior < e.best-ruledOut:
			q.logEv = e.most(q)
			continue
		}
		e.extend(q, &p.posts[i], &p.bases[i], e.best-outOfReach)
		e.best = max(e.best, q.logEv+prior)
	}
}

// likeliestFirst are the accounts by what the earlier readings say of them.
func (p *past) likeliestFirst() []int {
	order := make([]int, len(p.posts))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Compare(p.posts[j].logEv+math.Log(p.accs[j].Prior), p.posts[i].logEv+math.Log(p.accs[i].Prior))
	})
	return order
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
// where that moves it far, they are looked at anew from there, and where it does not come to
// rest, all are. It stops early when the log evidence with the prior is below hopeless.
func (e *extension) extend(p, past *posterior, kept *bases, hopeless float64) {
	from, prior := past, math.Log(p.acc.Prior)
	for range rebases {
		done, ok := e.onTop(p, past, from, hopeless)
		switch {
		case !ok || p.logEv+prior < hopeless || done && !p.bent(from.levelsAt()):
			return
		}
		next := e.base(past, kept, p.x)
		if next == nil || next == from {
			break
		}
		from = next
	}
	*p = fit(p.acc, e.h, e.com, past.x, hopeless)
}

// rebases is how often the earlier readings are looked at anew from where the last one
// leads before all of them are fitted together.
const rebases = 4

// onTop adds the last observation to a fit of the others. It reports whether it came to
// rest, and whether there is such a fit at all.
func (e *extension) onTop(p, past, from *posterior, hopeless float64) (done, ok bool) {
	n, m, prior := len(e.h.Observations), len(p.prior), math.Log(p.acc.Prior)
	p.tail = &tail{past: from, row: e.take(n), w: e.take(m), lv: account.Level{Grad: e.take(m), Scat: e.take(len(e.h.Additions))}}
	p.x = e.take(m)
	copy(p.x, from.levelsAt())
	bend := bend{com: e.com, off: e.take(n), toAim: e.take(n)}
	bend.see(e.h.Observations, past.aim.Shown)
	md, before := e.com.media[n-1], e.take(m)
	for range 3 {
		copy(before, p.x)
		p.last(e.h, &md)
		if !p.append(e.h, bend) {
			p.logEv = math.Inf(-1)
			return false, false
		}
		if done = settledDown(before, p.x, p.prior); done || p.logEv+prior < hopeless {
			break
		}
	}
	if p.acc.Mistake == nil {
		e.com.media[n-1] = md
	}
	return done, true
}

// bent reports whether the unknowns have moved so far that the earlier readings
// are to be looked at anew from there.
func (p *posterior) bent(from []float64) bool {
	for i := range from {
		most := bentFrom
		if i == account.Shift {
			most = shiftedFrom
		}
		if !account.Linear(i, len(from)) && math.Abs(p.x[i]-from[i]) > most {
			return true
		}
	}
	return false
}

// bases are fits of the earlier readings under one account, by where their levels were
// looked at. The readings of one composition lead to nearly the same place, one after
// the other.
type bases struct {
	mu   sync.Mutex
	kept map[gridPoint]*posterior
}

// gridPoint is how many steps of bentFrom each unknown is off.
type gridPoint [account.MaxUnknowns]int16

// mostBases is how many bases are kept of one account.
const mostBases = 32

// base is the fit of the earlier readings with their levels looked at near x: at the
// nearest point of a grid, so that it is the same whichever reading asks for it. It is nil
// when there is none.
func (e *extension) base(past *posterior, kept *bases, x []float64) *posterior {
	var at gridPoint
	q := &posterior{acc: past.acc, prior: past.prior, aim: past.aim, at: make([]float64, len(x))}
	copy(q.at, past.x)
	for i := range x {
		if account.Linear(i, len(x)) {
			continue // it makes no difference
		}
		at[i] = int16(math.Round((x[i] - past.x[i]) / bentFrom))
		q.at[i] += float64(at[i]) * bentFrom
	}
	kept.mu.Lock()
	defer kept.mu.Unlock()
	if b, ok := kept.kept[at]; ok {
		return b
	}
	earlier := e.h.Earlier(len(e.h.Observations) - 1)
	com := &common{media: slices.Clone(e.past.com.media), alike: e.past.com.alike} // as they were: what other accounts have left depends on who asked
	q.x = slices.Clone(q.at)
	q.makeRoom(earlier)
	q.look(earlier, com.media)
	if q.update(earlier, com) {
		q.logEv = q.evidence()
	} else {
		q = nil
	}
	if kept.kept == nil || len(kept.kept) >= mostBases {
		kept.kept = map[gridPoint]*posterior{}
	}
	kept.kept[at] = q
	return q
}

// levelsAt is where the levels of a fit were looked at.
func (p *posterior) levelsAt() []float64 {
	if p.at != nil {
		return p.at
	}
	return p.x
}

// last is the level of the last observation, in the medium that goes with it,
// which is brought up to date.
func (p *posterior) last(h account.History, md *chem.Medium) {
	o := h.Observations[len(h.Observations)-1]
	adds, f := h.Additions[:o.After], p.acc.Factors(p.x)
	c := p.acc.Added(adds, 0, &f, p.x, p.acc.Untouched(p.x))
	p.level(&p.tail.lv, adds, o, &f, &c, md)
}

// append takes a step with the level of the last observation, the rest staying
// where it is.
func (p *posterior) append(h account.History, bend bend) bool {
	t := p.tail
	past, row, lv, m := t.past, t.row, &t.lv, len(p.x)
	k := len(row) - 1
	for i := range row {
		other := lv
		if i < k {
			other = &past.levels[i]
		}
		both := h.Observations[i].After // only these additions are in both
		c := linalg.Dot(lv.Scat[:both], other.Scat) + lv.Slope*other.Slope*bend.at(k, i)
		for j, v := range p.prior {
			c += lv.Grad[j] * other.Grad[j] * v
		}
		row[i] = c
	}
	row[k] += p.noise(lv, h.Observations[k].SD)
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
	t.v = -lv.Value + linalg.Dot(lv.Grad, p.x)
	t.v = (t.v - linalg.Dot(row[:k], past.v[:k])) / row[k]
	for j := range m {
		s := lv.Grad[j] * p.prior[j]
		for i := range k {
			s -= row[i] * past.w[i*m+j]
		}
		t.w[j] = s / row[k]
		p.x[j] = past.x[j] + t.w[j]*t.v
	}
	p.logEv = past.logEv + math.Log(-lv.Slope) - math.Log(row[k]) - 0.5*math.Log(2*math.Pi) - 0.5*t.v*t.v
	return true
}

// complete puts together what predictions are made from.
func (p *posterior) complete() {
	t := p.tail
	if t == nil {
		return
	}
	if t.whole == nil {
		n, m, adds := len(t.row), len(p.x), len(t.lv.Scat)
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
		copy(q.scat[(n-1)*adds:], t.lv.Scat)
		copy(q.chol[(n-1)*n:], t.row)
		t.whole = q
	}
	p.v, p.w, p.scat, p.chol, p.tail = t.whole.v, t.whole.w, t.whole.scat, t.whole.chol, nil
}
