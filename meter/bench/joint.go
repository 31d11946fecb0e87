package bench

import (
	"math"
	"strings"

	"example.org/halfdrop/chem/linalg"
)

func (j *joint) see(s seen) { j.seen = append(j.seen, s) }

// alike is the covariance of the true values behind two findings. A random walk
// has in common what both have gone since now: the way of the younger.
func (j *joint) alike(a, b *seen) float64 {
	m := math.Min(months(a.at, j.at), months(b.at, j.at))
	c := 0.0
	if a.dropper != "" && a.dropper == b.dropper {
		c += j.dropVar[a.dropper] + dropWalk*dropWalk*m
	}
	if a.bottle != "" && a.bottle == b.bottle {
		c += j.strVar[a.bottle] + bottleWalk*bottleWalk*m
	}
	return c
}

// solve conditions on what was seen.
func (j *joint) solve() {
	n := len(j.seen)
	j.chol, j.v = make([]float64, n*n), make([]float64, n)
	for i := range j.seen {
		a := &j.seen[i]
		for k := range i + 1 {
			b := &j.seen[k]
			c := j.alike(a, b)
			if a.run >= 0 && a.run == b.run {
				c += a.shared * b.shared
			}
			if a.dropper != "" && a.dropper == b.dropper && a.run == b.run {
				c += session * session
			}
			if i == k {
				c += a.own*a.own + 1e-8
			}
			j.chol[i*n+k] = c
		}
		j.v[i] = a.y
	}
	linalg.Cholesky(j.chol, n) // what was added to the diagonal keeps it positive
	linalg.Forward(j.chol, n, j.v)
}

// now is what a finding of today would be of, and its whitened covariance with
// what was seen.
func (j *joint) now(dropper, bottle string) (q seen, w []float64, mean float64) {
	q = seen{dropper: dropper, bottle: bottle, run: -1, at: j.at}
	w = make([]float64, len(j.seen))
	for i := range j.seen {
		w[i] = j.alike(&j.seen[i], &q)
	}
	linalg.Forward(j.chol, len(w), w)
	for i := range w {
		mean += w[i] * j.v[i]
	}
	return q, w, mean
}

func (j *joint) cov(a *seen, wa []float64, b *seen, wb []float64) float64 {
	c := j.alike(a, b)
	for i := range wa {
		c -= wa[i] * wb[i]
	}
	return c
}

// stock is what is known of the drops of one stock; ok is false when nothing is.
func (j *joint) stock(i int) (k TakenStock, ok bool) {
	st := j.s.Stocks[i]
	if st.Bottle == "" {
		return k, false
	}
	d, bottle := givenWith(st), strings.ToLower(st.Bottle)
	runs := map[int]bool{}
	for _, x := range j.seen {
		if x.dropper != d && x.bottle != bottle {
			continue
		}
		if x.run >= 0 && x.bottle == bottle {
			runs[x.run] = true
		}
		if x.at.After(k.Last) {
			k.Last = x.at
		}
	}
	if k.Last.IsZero() {
		return k, false
	}
	q, w, mean := j.now(d, bottle)
	all := j.cov(&q, w, &q, w) + session*session
	s, ws, ml := j.now("", bottle)
	k.Runs = len(runs)
	k.Factor, k.MLFactor = digits(math.Exp(mean), 5), digits(math.Exp(ml), 5)
	shared := 0.0
	if !st.ByML {
		shared = j.shared(i, all)
	}
	k.SharedSDPct, k.OwnSDPct = sd(shared), sd(all-shared)
	k.MLSDPct = sd(j.cov(&s, ws, &s, ws))
	return k, true
}

// shared is the part of the variance of a drop that the bottles of its dropper have
// in common: what the coach calls the error of the dropper. It is the same number
// for all of them.
func (j *joint) shared(i int, all float64) float64 {
	st := j.s.Stocks[i]
	d := givenWith(st)
	v := math.Inf(1)
	for a, x := range j.s.Stocks {
		if x.Bottle == "" || givenWith(x) != d {
			continue
		}
		qa, wa, _ := j.now(d, strings.ToLower(x.Bottle))
		v = math.Min(v, 0.9*(j.cov(&qa, wa, &qa, wa)+session*session))
		for _, y := range j.s.Stocks[:a] {
			if y.Bottle == "" || givenWith(y) != d {
				continue
			}
			qb, wb, _ := j.now(d, strings.ToLower(y.Bottle))
			v = math.Min(v, math.Max(j.cov(&qa, wa, &qb, wb)+session*session, 0))
		}
	}
	return math.Min(v, all)
}

func sd(v float64) float64 { return digits(100*math.Sqrt(math.Max(v, 1e-10)), 3) }
