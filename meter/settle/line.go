package settle

import "math"

// line is the posterior of the unknowns for one shape, relative to the last bin.
type line struct {
	x            [unknowns]float64
	precision    [unknowns][unknowns]float64 // lower half, in units of noise
	noise        float64                     // variance
	end          float64                     // variance of the end value
	now          float64
	shape, scale float64 // of the noise variance
	logEv        float64
}

// sample is what all shapes of a window are fitted to.
type sample struct {
	learned *Learned
	window  Window
	bins    []Bin
	weight  []float64
	noise   float64 // variance, as expected
	step    float64 // prior standard deviation of the step
	rest    *prior  // of every shape, when nothing is carried over
}

// prior is what is known of the unknowns before the readings, relative to the
// last bin: their mean, and their precision in units of the noise with its log
// determinant.
type prior struct {
	mean      [unknowns]float64
	precision [unknowns][unknowns]float64
	logDet    float64
}

// Spreads of where the lags stand at a change, pH, beside what is carried over.
const (
	restSD    = 0.003 // of an electrode at rest
	ampShare  = 0.15  // of the step: the lags are not quite of first order
	slowDoubt = 0.5   // between the parts of an electrode just immersed, of its spread
)

// moments are weighted sums over the readings.
type moments struct {
	vv [parts][parts]float64 // lower half
	vy [parts]float64
	yy float64
}

// sums are the moments for one time constant and one mixing.
func (s *sample) sums(rows []lags, mixing int) (m moments) {
	last := s.bins[len(s.bins)-1].Y
	for j := range s.bins {
		v, y, p := rows[j].parts(mixing), s.bins[j].Y-last, s.weight[j]
		m.yy += p * y * y
		for r := range v {
			q := p * v[r]
			m.vy[r] += q * y
			for c := range r + 1 {
				m.vv[r][c] += q * v[c]
			}
		}
	}
	for r := range m.vv {
		for c := range r {
			m.vv[c][r] = m.vv[r][c]
		}
	}
	return m
}

// solve is the closed normal–inverse-gamma posterior of readings that are
// linear in the unknowns, for time constant i and shape k.
func (s *sample) solve(m *moments, latest *lags, i, k int) line {
	p := s.rest
	if p == nil {
		carried := s.prior(i, k)
		p = &carried
	}
	mean, a := p.mean, p.precision
	rhs, yy := [unknowns]float64{}, m.yy
	for r := range mean {
		for c := range mean {
			rhs[r] += a[r][c] * mean[c]
		}
		yy += rhs[r] * mean[r]
	}
	m.add(&a, &rhs, &makeup[k%len(slowShares)])
	n := line{shape: s.learned.shape + float64(len(s.bins))/2, precision: a}
	var last, logA float64
	n.x, last, logA = conditioned(&a, rhs)
	explained := 0.0
	for r := range rhs {
		explained += n.x[r] * rhs[r]
	}
	n.scale = s.learned.scale + math.Max(0, yy-explained)/2
	n.noise = n.scale / (n.shape - 1) // Student's t with 2·shape degrees of freedom
	n.end = n.noise / last
	b := latest.basis(k)
	for r := range b {
		n.now += b[r] * n.x[r]
	}
	n.logEv = 0.5*(p.logDet-logA) - n.shape*math.Log(n.scale)
	return n
}

// conditioned solves a·x = rhs for a positive definite matrix of which the lower
// half is given. last is the inverse of the last element of the inverse: with
// uEnd last, the precision of the end value.
func conditioned(a *[unknowns][unknowns]float64, rhs [unknowns]float64) (x [unknowns]float64, last, logDet float64) {
	l, logDet := root(a)
	for r := range x {
		v := rhs[r]
		for q := range r {
			v -= l[r][q] * x[q]
		}
		x[r] = v / l[r][r]
	}
	for r := unknowns - 1; r >= 0; r-- {
		v := x[r]
		for q := r + 1; q < unknowns; q++ {
			v -= l[q][r] * x[q]
		}
		x[r] = v / l[r][r]
	}
	return x, l[unknowns-1][unknowns-1] * l[unknowns-1][unknowns-1], logDet
}

// add adds what the readings say to the normal equations.
func (m *moments) add(a *[unknowns][unknowns]float64, rhs *[unknowns]float64, made *[unknowns][parts]float64) {
	for r := range made {
		var row [parts]float64
		for p, x := range made[r] {
			if x == 0 {
				continue
			}
			rhs[r] += x * m.vy[p]
			for q := range row {
				row[q] += x * m.vv[p][q]
			}
		}
		for c := range r + 1 {
			for q, x := range made[c] {
				a[r][c] += row[q] * x
			}
		}
	}
}

// prior is what is known of the unknowns for time constant i and shape k.
func (s *sample) prior(i, k int) (p prior) {
	w, last := &s.window, s.bins[len(s.bins)-1].Y
	var c [unknowns][unknowns]float64
	switch {
	case w.immersed():
		first := s.bins[0].Y - last
		p.mean[uFast], p.mean[uSlow] = first, first
		v := s.step * s.step
		c[uEnd][uEnd], c[uNear][uNear] = v, 1
		c[uFast][uFast], c[uSlow][uSlow], c[uSlow][uFast] = v, v*(1+slowDoubt*slowDoubt), v
	default:
		st := w.carried(i, k)
		for r := range st.mean {
			p.mean[uNear+r] = st.mean[r] - last
			for q := range r + 1 {
				c[uNear+r][uNear+q] = st.cov[r][q]
			}
			c[uNear+r][uNear+r] += restSD * restSD
		}
		p.mean[uEnd] = p.mean[uNear]
		c[uEnd][uEnd] = s.step * s.step
		amp := ampShare * s.step / stepShare
		c[uFast][uFast] += amp * amp
	}
	p.precision, p.logDet = invert(&c)
	p.logDet = -p.logDet
	for r := range p.precision {
		for q := range p.precision[r] {
			p.precision[r][q] *= s.noise
		}
	}
	return p
}

// root is the Cholesky factor of a positive definite matrix of which the lower
// half is given, and the logarithm of its determinant.
func root(a *[unknowns][unknowns]float64) (l [unknowns][unknowns]float64, logDet float64) {
	det := 1.0
	for r := range a {
		for c := range r + 1 {
			v := a[r][c]
			for q := range c {
				v -= l[r][q] * l[c][q]
			}
			if r == c {
				v = math.Max(v, 1e-30)
				l[r][r], det = math.Sqrt(v), det*v
			} else {
				l[r][c] = v / l[c][c]
			}
		}
	}
	return l, math.Log(det)
}

// invert is the inverse of such a matrix.
func invert(a *[unknowns][unknowns]float64) (inv [unknowns][unknowns]float64, logDet float64) {
	for c := range a {
		var unit [unknowns]float64
		unit[c] = 1
		var col [unknowns]float64
		col, _, logDet = conditioned(a, unit)
		for r := range col {
			inv[r][c] = col[r]
		}
	}
	return inv, logDet
}
