package belief

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/normal"
	"example.org/halfdrop/chem/linalg"
)

// predicted is a linear quantity of the beaker as the posterior sees it.
type predicted struct {
	mean float64
	w    []float64 // its covariance with the observations, whitened
	grad []float64
	scat []float64
}

// predict gives the posterior mean of a level after all additions, and what
// is needed for its covariance with others.
func (p *posterior) predict(lv account.Level) predicted {
	n, m, adds := len(p.v), len(p.x), len(lv.Scat)
	q := predicted{mean: lv.Value, w: make([]float64, n), grad: lv.Grad, scat: lv.Scat}
	for i := range n {
		q.w[i] = linalg.Dot(p.scat[i*adds:(i+1)*adds], lv.Scat)
	}
	linalg.Forward(p.chol, n, q.w)
	q.mean += linalg.Dot(q.w, p.v)
	for i := range n {
		q.w[i] += linalg.Dot(p.w[i*m:(i+1)*m], lv.Grad)
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

// factor is ln of the factor of the drops of a stock, that of what is labelled left aside.
func (p *posterior) factor(b *account.Bench, adds, stock int) predicted {
	m, n := len(p.x), len(p.v)
	room := make([]float64, m+adds+n)
	u := predicted{grad: room[:m:m], scat: room[m : m+adds : m+adds], w: room[m+adds:]}
	for _, i := range b.DropUnknowns(stock) {
		u.grad[i] = 1
		u.mean += p.x[i]
	}
	for i := range u.w {
		u.w[i] = linalg.Dot(p.w[i*m:(i+1)*m], u.grad)
	}
	return u
}

// sd is the standard deviation of a predicted quantity.
func (p *posterior) sd(a predicted) float64 { return math.Sqrt(max(p.cov(a, a), 0)) }

// levelAt is the charge of the beaker as it is, held at a shown pH near the aim.
func (p *posterior) levelAt(adds []account.Addition, shown float64) account.Level {
	return p.acc.LevelAt(adds, p.x, chem.PH(shown), p.aim.Medium)
}

// above is the probability, as one posterior has it, that the settled reading
// is above a pH.
func (p *posterior) above(adds []account.Addition, shown float64) float64 {
	a := p.predict(p.levelAt(adds, shown))
	return normal.Phi(a.mean / math.Sqrt(max(p.cov(a, a), 1e-30)))
}
