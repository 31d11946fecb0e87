package coach

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/linalg"
)

// waterCharge is the least uncertainty of a charge balance, mol per kg of
// water: what CO₂ of the air brings into plain water (1.4e-5 mol/kg at
// 420 ppm, from Henry's constant of Plummer & Busenberg, 1982).
const waterCharge = 1.4e-5

// fit is the posterior under one hypothesis: Gauss–Newton on the charge
// balances of all readings, in the space of the observations, from the unknowns
// x on, nil for the prior's. It stops early when the log evidence with the prior
// is below hopeless.
func (b *Bench) fit(h *hypothesis, hist History, c *common, x []float64, hopeless float64) posterior {
	p := posterior{hyp: h, prior: b.priors(h)}
	p.x = make([]float64, len(p.prior))
	copy(p.x, x)
	p.makeRoom(hist)
	p.aim = b.aimOf(h, hist, p.x)
	before := make([]float64, len(p.x))
	for range 6 {
		b.levels(p.levels, h, hist, p.x, c.media)
		copy(before, p.x)
		if !p.update(b, hist, p.levels, c) {
			p.logEv = math.Inf(-1)
			return p
		}
		p.logEv = p.evidence(p.levels)
		if settledDown(before, p.x, p.prior) || p.logEv+math.Log(h.prior) < hopeless {
			break
		}
	}
	return p
}

// levels are the charges of all readings, each held at the pH it showed, in
// the medium that goes with it, looked for from one that is near. That of "as
// planned" is what the others then start from.
func (b *Bench) levels(lv []level, h *hypothesis, hist History, x []float64, near []chem.Medium) {
	f := b.factors(h, x)
	c, done := b.untouched(h, x), 0
	for i, o := range hist.Observations {
		c, done = b.added(h, hist.Additions, done, o.After, &f, x, c), o.After
		md := near[i]
		b.Model.BalanceIn(o.PH-x[iShift], &md, &c)
		if h.mistake == nil {
			near[i] = md
		}
		clear(lv[i].grad)
		clear(lv[i].scat)
		b.levelOf(&lv[i], h, hist.Additions, o.After, x, &f, &c, o.PH, &md)
	}
}

// makeRoom takes all the memory that a fit needs.
func (p *posterior) makeRoom(hist History) {
	n, m, adds := len(hist.Observations), len(p.x), len(hist.Additions)
	p.v, p.w, p.scat, p.chol = make([]float64, n), make([]float64, n*m), make([]float64, n*adds), make([]float64, n*n)
	p.levels = make([]level, n)
	room := make([]float64, n*m)
	for i := range p.levels {
		p.levels[i].grad, p.levels[i].scat = room[i*m:(i+1)*m], p.scat[i*adds:(i+1)*adds]
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
func (p *posterior) update(b *Bench, hist History, lv []level, com *common) bool {
	n, m := len(lv), len(p.x)
	p.covariance(b, hist, lv, com)
	if !linalg.Cholesky(p.chol, n) {
		return false
	}
	for i := range lv {
		p.v[i] = -lv[i].value + linalg.Dot(lv[i].grad, p.x)
	}
	linalg.Forward(p.chol, n, p.v)
	col := make([]float64, n)
	for j := range m {
		for i := range lv {
			col[i] = lv[i].grad[j] * p.prior[j]
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
func (p *posterior) covariance(b *Bench, hist History, lv []level, com *common) {
	n := len(lv)
	bend := newBend(hist.Observations, com, p.aim.shown)
	s := p.chol
	for i := range lv {
		for j := range i + 1 {
			both := hist.Observations[j].After // only these additions are in both
			c := linalg.Dot(lv[j].scat[:both], lv[i].scat)
			for k, v := range p.prior {
				c += lv[i].grad[k] * lv[j].grad[k] * v
			}
			c += lv[i].slope * lv[j].slope * bend.at(i, j)
			s[i*n+j] = c
		}
		sd := hist.Observations[i].SD * lv[i].slope
		w := waterCharge * b.Water.Water
		s[i*n+i] += sd*sd + w*w
	}
}

// common is what the fits of all accounts share.
type common struct {
	media []chem.Medium // at the readings, to start from
	alike []float64     // how alike the curve's errors are at two readings, n×n
}

func newCommon(obs []Observation) *common {
	n := len(obs)
	c := &common{media: make([]chem.Medium, n), alike: make([]float64, n*n)}
	for i := range obs {
		for j := range i + 1 {
			c.alike[i*n+j] = alike(obs[i].PH, obs[j].PH)
		}
	}
	return c
}

// alike falls from 1 with the distance of two pH.
func alike(a, b float64) float64 {
	d := (a - b) / bendLength
	return math.Exp(-d * d / 2)
}

// bend is the covariance of the errors of the pH scale at two readings,
// relative to its error at the aim: slope of the meter and shape of the curve.
type bend struct {
	com   *common
	off   []float64 // readings minus aim
	toAim []float64
}

func newBend(obs []Observation, com *common, aim float64) bend {
	b := bend{com: com, off: make([]float64, len(obs)), toAim: make([]float64, len(obs))}
	b.see(obs, aim)
	return b
}

func (b *bend) see(obs []Observation, aim float64) {
	for i, o := range obs {
		b.off[i], b.toAim[i] = o.PH-aim, alike(o.PH, aim)
	}
}

// at is the covariance for readings i and j ≤ i.
func (b *bend) at(i, j int) float64 {
	return slopeSD*slopeSD*b.off[i]*b.off[j] +
		bendSD*bendSD*(b.com.alike[i*len(b.off)+j]-b.toAim[i]-b.toAim[j]+1)
}

// evidence is the log density of the readings under the hypothesis: a normal
// density in charge, carried over to pH by the slopes.
func (p *posterior) evidence(lv []level) float64 {
	n := len(lv)
	e := -0.5 * linalg.Dot(p.v, p.v)
	for i := range lv {
		e += math.Log(-lv[i].slope) - math.Log(p.chol[i*n+i]) - 0.5*math.Log(2*math.Pi)
	}
	return e
}

// predicted is a linear quantity of the beaker as the posterior sees it.
type predicted struct {
	mean float64
	w    []float64 // its covariance with the observations, whitened
	grad []float64
	scat []float64
}

// predict gives the posterior mean of a level after all additions, and what
// is needed for its covariance with others.
func (p *posterior) predict(lv level) predicted {
	n, m, adds := len(p.v), len(p.x), len(lv.scat)
	q := predicted{mean: lv.value, w: make([]float64, n), grad: lv.grad, scat: lv.scat}
	for i := range n {
		q.w[i] = linalg.Dot(p.scat[i*adds:(i+1)*adds], lv.scat)
	}
	linalg.Forward(p.chol, n, q.w)
	q.mean += linalg.Dot(q.w, p.v)
	for i := range n {
		q.w[i] += linalg.Dot(p.w[i*m:(i+1)*m], lv.grad)
	}
	return q
}

// cov is the posterior covariance of two predicted quantities.
func (p *posterior) cov(a, b predicted) float64 {
	c := -linalg.Dot(a.w, b.w)
	for i := range a.grad {
		c += a.grad[i] * b.grad[i] * p.prior[i]
	}
	return c + linalg.Dot(a.scat, b.scat)
}

// deaf is the account of an electrode that does not follow the beaker: its
// readings say nothing about it, and are all alike.
func (b *Bench) deaf(h *hypothesis, hist History) posterior {
	p := b.fit(h, History{Additions: hist.Additions}, &common{}, nil, math.Inf(-1))
	p.logEv = -math.Log(deafRange)
	for i := 1; i < len(hist.Observations); i++ {
		p.logEv += deafTo(hist.Observations[0], hist.Observations[i])
	}
	return p
}

// deafTo is the log density of a later reading of such an electrode.
func deafTo(first, o Observation) float64 {
	v := deafSD*deafSD + o.SD*o.SD
	d := o.PH - first.PH
	return -0.5*d*d/v - 0.5*math.Log(2*math.Pi*v)
}
