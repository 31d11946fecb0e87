package coach

import (
	"cmp"
	"slices"

	"example.org/halfdrop/chem"
)

// aims are those of the accounts of one belief. Accounts that differ in a bottle alone
// that was not used yet have the same one, unless it is that bottle that leads there.
type aims struct {
	b    *Bench
	h    History
	seen []aimed
}

// aimed is an account whose aim is known.
type aimed struct {
	post *posterior
	// From where the others are judged: the medium of the beaker at the aim, to the
	// side on which it lies, and the bottle that leads there. Worked out when asked for.
	medium *chem.Medium
	side   float64
	stock  int
}

// find gives an account its aim; of the first it is known already.
func (a *aims) find(p *posterior, known bool) {
	for i := range a.seen {
		if s := &a.seen[i]; &s.post.x[0] == &p.x[0] && s.post.hyp.weighed == p.hyp.weighed && a.same(s, p) {
			p.aim = s.post.aim
			return
		}
	}
	if !known {
		p.aim = a.b.aimOf(p.hyp, a.h, p.x)
	}
	a.seen = append(a.seen, aimed{post: p})
}

// same reports whether the same bottle, with the same in it, leads to the aim under
// two accounts of one beaker.
func (a *aims) same(s *aimed, p *posterior) bool {
	ph := a.b.Target - p.x[iShift]
	if s.medium == nil {
		now := a.b.beaker(p.hyp, a.h.Additions, len(a.h.Additions), p.x)
		s.medium = new(chem.Medium)
		s.side = -sign(a.b.Use.BalanceIn(ph, s.medium, &now).Charge)
		s.stock = a.b.leads(s.post.hyp, ph, s.medium, s.side)
	}
	j := a.b.leads(p.hyp, ph, s.medium, s.side)
	return j == s.stock && p.hyp.stocks[j] == s.post.hyp.stocks[j]
}

// byWeight are the posteriors, the likeliest first.
func byWeight(p []posterior) []posterior {
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(p[j].weight, p[i].weight) })
	out := make([]posterior, len(p))
	for k, i := range order {
		out[k] = p[i]
	}
	return out
}
