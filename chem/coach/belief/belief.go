package belief

import (
	"cmp"
	"math"
	"slices"

	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/nameless"
	"example.org/halfdrop/chem/coach/normal"
)

// Belief is what is believed after a History.
type Belief struct {
	Bench   *account.Bench
	History account.History
	Free    *nameless.Account // the account without a name

	posts []posterior // the likeliest first; their weights and that of Free sum to 1
	deaf  float64     // weight of the accounts whose electrode does not follow the beaker
}

// LeastWeight is the weight of an account below which it is not listened to.
const LeastWeight = 1e-6

// Believe folds a history into a belief. What the earlier compositions have shown
// is worked out once; its last observation, the present one, comes on top.
func (m *Memory) Believe(b *account.Bench, h account.History) Belief {
	if bel := m.recall(h); bel != nil {
		return *bel
	}
	var bel Belief
	if b.Unweighed {
		bel = unweighed(b, h)
	} else {
		bel = weigh(b, h, m.fitAll(b, h))
	}
	m.keep(&bel)
	return bel
}

// unweighed is the belief where no account of a list has anything to go by.
func unweighed(b *account.Bench, h account.History) Belief {
	acc := b.AsPlanned()
	p := unread(&acc, h)
	p.weight, p.aim = 0, b.UnweighedAim()
	bel := Belief{Bench: b, History: h, posts: []posterior{p}, Free: stranger(b, h, b.Target)}
	bel.Free.Weight = 1
	return bel
}

// weigh makes a belief of fits of all accounts to a history.
func weigh(b *account.Bench, h account.History, posts []posterior) Belief {
	bel := Belief{Bench: b, History: h, posts: posts}
	lead := 0 // of those that go by the reading
	for i := range posts {
		if p := &posts[i]; !p.acc.Deaf() && (posts[lead].acc.Deaf() || p.logEv > posts[lead].logEv) {
			lead = i
		}
	}
	p := &posts[lead]
	leads := p.acc
	p.aim = p.acc.Aim(h.Additions, p.x)
	bel.Free = free(b, h, p.aim)
	bel.share()
	if len(h.Additions) > 0 && bel.Free.Weight > 0.5 && buffers(b) {
		if s := stranger(b, h, p.aim.Shown); s.LnEvidence+lnStranger > bel.Free.LnEvidence {
			s.Weight, bel.Free = bel.Free.Weight, s
		}
	}
	byWeight(bel.posts)
	bel.hearing()
	aims := aims{b: b, h: h}
	for i := range bel.posts {
		p := &bel.posts[i]
		if i > 0 && p.weight < LeastWeight {
			break
		}
		p.complete()
		aims.find(p, p.acc == leads)
	}
	return bel
}

// share gives all accounts their weights, by their evidence.
func (bel *Belief) share() {
	best := bel.Free.LnEvidence
	for i := range bel.posts {
		best = max(best, bel.posts[i].logEv)
	}
	bel.Free.Weight = math.Exp(bel.Free.LnEvidence - best)
	sum := bel.Free.Weight
	for i := range bel.posts {
		p := &bel.posts[i]
		p.weight = math.Exp(p.logEv - best)
		sum += p.weight
	}
	for i := range bel.posts {
		bel.posts[i].weight /= sum
	}
	bel.Free.Weight /= sum
}

// byWeight puts the posteriors in order, the likeliest first, each moved once.
func byWeight(p []posterior) {
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(p[j].weight, p[i].weight) })
	for k, from := range order {
		if from < 0 {
			continue
		}
		first, at := p[k], k
		for ; from != k; from = order[at] {
			p[at], order[at], at = p[from], -1, from
		}
		p[at], order[at] = first, -1
	}
}

// hearing puts first the likeliest account that goes by the reading: an electrode that
// does not follow the beaker is a thing to ask about, and no account of what a dose would do.
func (bel *Belief) hearing() {
	hears := -1
	for i := range bel.posts {
		switch p := &bel.posts[i]; {
		case p.acc.Deaf():
			bel.deaf += p.weight
		case hears < 0 && p.weight >= LeastWeight:
			hears = i
		}
	}
	if hears > 0 {
		p := bel.posts[hears]
		copy(bel.posts[1:hears+1], bel.posts[:hears])
		bel.posts[0] = p
	}
}

// Unnamed reports whether the account without a name is likelier than all those
// on the list together that go by the reading.
func (bel *Belief) Unnamed() bool { return bel.Free.Weight > (1-bel.deaf)/2 }

// Aim is the pH that the meter has to show now, as the likeliest account on the list has it.
func (bel *Belief) Aim() float64 { return bel.posts[0].aim.Shown }

// Nameless is the belief of somebody who gives everything to the account without a name.
func (bel *Belief) Nameless() Belief {
	open := *bel
	open.posts = slices.Clone(bel.posts)
	for i := range open.posts {
		open.posts[i].weight = 0
	}
	free := *bel.Free
	free.Weight, open.Free, open.deaf = 1, &free, 0
	return open
}

// Inside is the probability that the settled reading is within the tolerance,
// from the reading and from what is known of the additions together.
func (bel *Belief) Inside() float64 {
	total, tolerance := 0.0, bel.Bench.Tolerance
	for i := range bel.posts {
		p := &bel.posts[i]
		if p.weight < LeastWeight {
			break
		}
		above := p.above(bel.History.Additions, p.aim.Shown-tolerance)
		total += p.weight * (above - p.above(bel.History.Additions, p.aim.Shown+tolerance))
	}
	f := bel.Free
	return total + f.Weight*normal.Quantity{Mean: f.Now.PH - float64(f.Aim), SD: f.Now.SD}.Within(tolerance)
}
