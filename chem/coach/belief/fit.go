package belief

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/linalg"
)

// posterior is a Gaussian over the unknowns under one account, in the form
// that lets further linear quantities be predicted from it.
type posterior struct {
	acc    *account.Account
	weight float64
	logEv  float64
	aim    account.Aim
	x      []float64 // the most probable unknowns
	at     []float64 // where the levels were looked at, when not there
	prior  []float64 // prior variances of the unknowns
	chol   []float64 // Cholesky factor of the covariance of the observations
	w      []float64 // chol⁻¹ J P, row per observation
	v      []float64 // chol⁻¹ r
	scat   []float64 // sensitivity of each observation to the scatter of each addition

	levels []account.Level // the charge at each observation
	tail   *tail           // not nil: what the last observation adds to another fit
}

// fit is the posterior under one account: Gauss–Newton on the charge
// balances of all readings, in the space of the observations, from the unknowns
// x on, nil for the prior's. It stops early when the log evidence with the prior
// is below hopeless.
func fit(acc *account.Account, hist account.History, c *common, x []float64, hopeless float64) posterior {
	p := posterior{acc: acc, prior: acc.Priors()}
	p.x = make([]float64, len(p.prior))
	copy(p.x, x)
	p.makeRoom(hist)
	p.aim = acc.Aim(hist.Additions, p.x)
	before := make([]float64, len(p.x))
	for range 6 {
		p.look(hist, c.media)
		copy(before, p.x)
		if !p.update(hist, c) {
			p.logEv = math.Inf(-1)
			return p
		}
		p.logEv = p.evidence()
		if settledDown(before, p.x, p.prior) || p.logEv+math.Log(acc.Prior) < hopeless {
			break
		}
	}
	return p
}

// unread is the posterior of an account that no reading says anything of.
func unread(acc *account.Account, h account.History) posterior {
	return fit(acc, account.History{Additions: h.Additions}, &common{}, nil, math.Inf(-1))
}

// look evaluates the charges of all readings, each held at the pH it showed, in
// the medium that goes with it, looked for from one that is near. That of "as
// planned" is what the others then start from.
func (p *posterior) look(hist account.History, near []chem.Medium) {
	f := p.acc.Factors(p.x)
	c, done := p.acc.Untouched(p.x), 0
	for i, o := range hist.Observations {
		c, done = p.acc.Added(hist.Additions[:o.After], done, &f, p.x, c), o.After
		md := near[i]
		p.level(&p.levels[i], hist.Additions[:done], o, &f, &c, &md)
		if p.acc.Mistake == nil {
			near[i] = md
		}
	}
}

// level is the charge at an observation, in the medium that goes with it, which is brought up to
// date; lv has room for its slopes.
func (p *posterior) level(lv *account.Level, adds []account.Addition, o account.Observation, f *account.Factors, c *chem.Composition, md *chem.Medium) {
	p.acc.Held(chem.PH(o.PH), p.x, c, md)
	clear(lv.Grad)
	clear(lv.Scat)
	p.acc.LevelOf(lv, adds, p.x, f, c, chem.PH(o.PH), md)
}

// makeRoom takes all the memory that a fit needs.
func (p *posterior) makeRoom(hist account.History) {
	n, m, adds := len(hist.Observations), len(p.x), len(hist.Additions)
	p.v, p.w, p.scat, p.chol = make([]float64, n), make([]float64, n*m), make([]float64, n*adds), make([]float64, n*n)
	p.levels = make([]account.Level, n)
	room := make([]float64, n*m)
	for i := range p.levels {
		p.levels[i].Grad, p.levels[i].Scat = room[i*m:(i+1)*m], p.scat[i*adds:(i+1)*adds]
	}
}

// settledDown reports whether no unknown moved by more than a hundredth of
// its prior standard deviation.
func settledDown(before, after, prior []float64) bool {
	for i := range before {
		if math.Abs(after[i]-before[i]) > 0.01*math.Sqrt(prior[i]) {
			return false
		}
	}
	return true
}

// update takes one Gauss–Newton step: the levels are linear in the unknowns
// around p.x, and each of them was observed to be zero.
func (p *posterior) update(hist account.History, com *common) bool {
	lv := p.levels
	n, m := len(lv), len(p.x)
	p.covariance(hist.Observations, com)
	if !linalg.Cholesky(p.chol, n) {
		return false
	}
	for i := range lv {
		p.v[i] = -lv[i].Value + linalg.Dot(lv[i].Grad, p.x)
	}
	linalg.Forward(p.chol, n, p.v)
	col := make([]float64, n)
	for j := range m {
		for i := range lv {
			col[i] = lv[i].Grad[j] * p.prior[j]
		}
		linalg.Forward(p.chol, n, col)
		for i := range lv {
			p.w[i*m+j] = col[i]
		}
		p.x[j] = linalg.Dot(col, p.v)
	}
	return true
}

// covariance of the levels: unknowns, scatter of drops, shape of the curve,
// spread of each reading.
func (p *posterior) covariance(obs []account.Observation, com *common) {
	n, lv := len(p.levels), p.levels
	bend := newBend(obs, com, p.aim.Shown)
	for i := range lv {
		for j := range i + 1 {
			both := obs[j].After // only these additions are in both
			c := linalg.Dot(lv[j].Scat[:both], lv[i].Scat)
			for k, v := range p.prior {
				c += lv[i].Grad[k] * lv[j].Grad[k] * v
			}
			c += lv[i].Slope * lv[j].Slope * bend.at(i, j)
			p.chol[i*n+j] = c
		}
		p.chol[i*n+i] += p.noise(&lv[i], obs[i].SD)
	}
}

// noise is the variance of a level by the spread of its reading, pH, alone.
func (p *posterior) noise(lv *account.Level, sd float64) float64 {
	s, w := sd*lv.Slope, p.acc.LeastSD()
	return s*s + w*w
}

// evidence is the log density of the readings under the account: a normal
// density in charge, carried over to pH by the slopes.
func (p *posterior) evidence() float64 {
	n := len(p.levels)
	e := -0.5 * linalg.Dot(p.v, p.v)
	for i := range p.levels {
		e += math.Log(-p.levels[i].Slope) - math.Log(p.chol[i*n+i]) - 0.5*math.Log(2*math.Pi)
	}
	return e
}

// Of an electrode that does not follow the beaker; a choice of this project.
const (
	deafSD    = 0.015 // pH, scatter of its readings
	deafRange = 14.0  // pH, over which it may stand anywhere
)

// deaf is the account of an electrode that does not follow the beaker: its
// readings say nothing about it, and are all alike.
func deaf(acc *account.Account, hist account.History) posterior {
	p := unread(acc, hist)
	p.logEv = -math.Log(deafRange)
	for i := 1; i < len(hist.Observations); i++ {
		p.logEv += deafTo(hist.Observations[0], hist.Observations[i])
	}
	return p
}

// deafTo is the log density of a later reading of such an electrode.
func deafTo(first, o account.Observation) float64 {
	v := deafSD*deafSD + o.SD*o.SD
	d := o.PH - first.PH
	return -0.5*d*d/v - 0.5*math.Log(2*math.Pi*v)
}
