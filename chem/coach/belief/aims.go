package belief

import (
	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
)

// aims are those of the accounts of one belief. Accounts that differ in a bottle alone
// that was not used yet have the same one, unless it is that bottle that leads there.
type aims struct {
	b    *account.Bench
	h    account.History
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
		if s := &a.seen[i]; &s.post.x[0] == &p.x[0] && s.post.acc.Weighed == p.acc.Weighed && a.same(s, p) {
			p.aim = s.post.aim
			return
		}
	}
	if !known {
		p.aim = p.acc.Aim(a.h.Additions, p.x)
	}
	a.seen = append(a.seen, aimed{post: p})
}

// same reports whether the same bottle, with the same in it, leads to the aim under
// two accounts of one beaker.
func (a *aims) same(s *aimed, p *posterior) bool {
	ph := chem.PH(a.b.Target - p.x[account.Shift])
	if s.medium == nil {
		now := p.acc.Beaker(a.h.Additions, p.x)
		s.medium = new(chem.Medium)
		s.stock, s.side = s.post.acc.Towards(ph, &now, s.medium)
	}
	j := p.acc.Strongest(ph, s.medium, s.side)
	return j == s.stock && p.acc.Stocks[j] == s.post.acc.Stocks[j]
}
