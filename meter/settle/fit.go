package settle

import "math"

// fitted is the posterior of one window, over the grid.
type fitted struct {
	end, variance, now, noise, tau float64
	lnTauSD                        float64
	weight                         [gridSize]float64 // of the time constants
	shape, scale                   float64           // of the noise variance
}

// Prior standard deviations, pH. What is still to come is of the order of the
// step that is expected, or of what has been seen when none is: a tail far
// larger than its cause is not believed in.
const (
	endSD     = 20.0 // of the end value: no constraint
	stepShare = 2.0  // times the expected step
	stepFloor = 0.03
	seenShare = 2.0 // times the range seen, when nothing is known of the step
	seenFloor = 0.3
	tailShare = 0.35 // a slow tail is at most about this part of the step
)

// stepSD is the prior standard deviation of the first exponential.
func stepSD(w Window, bins []Bin) float64 {
	if d := math.Abs(w.Expected - w.From); !math.IsNaN(d) {
		return stepShare*(d+w.Doubt) + stepFloor
	}
	low, high := bins[0].Y, bins[0].Y
	for _, b := range bins {
		low, high = min(low, b.Y), max(high, b.Y)
	}
	return seenShare*(high-low) + seenFloor
}

// How far an approach strays from the two exponentials, relative to the
// distance from the latest reading: while it mixes, and later.
const (
	shapeEarly = 0.15
	shapeLate  = 0.006
)

// weights make less of early readings, and of those far from the last one: no
// approach follows two exponentials to the last digit, and the far readings
// would otherwise decide by their number what the near ones show better.
func (l Learned) weights(bins []Bin, since float64) []float64 {
	out := make([]float64, len(bins))
	noise, last := l.scale/l.shape, bins[len(bins)-1].Y
	for i, b := range bins {
		d := fading(shapeEarly, shapeLate, b.T-since) * (b.Y - last)
		out[i] = 1 / (1 + d*d/noise)
	}
	return out
}

// temper is the power of the likelihood that decides between shapes: all of
// them are a little wrong, and many readings would make one of them certain.
const temper = 0.5

// fit sums over the grid, and over mixing or a slow tail as the second part.
func (l Learned) fit(w Window) fitted {
	bins := w.Bins()
	last := bins[len(bins)-1]
	type node struct {
		line
		logW float64
		i    int
	}
	var nodes [2 * gridSize]node
	weight, noise, step := l.weights(bins, w.Since), l.scale/l.shape, stepSD(w, bins)
	mixing := [3]float64{noise / (endSD * endSD), noise / (step * step), noise / (step * step)}
	tail := mixing
	tail[2] /= tailShare * tailShare
	best := math.Inf(-1)
	for i, tau := range tauGrid {
		a := l.solve(bins, weight, w.Since, mixing, tau, mixTau)
		b := l.solve(bins, weight, w.Since, tail, tau, slowTail*tau)
		nodes[2*i] = node{a, l.logTau[i] + temper*a.logEv + math.Log(1-tailPrior), i}
		nodes[2*i+1] = node{b, l.logTau[i] + temper*b.logEv + math.Log(tailPrior), i}
		best = max(best, nodes[2*i].logW, nodes[2*i+1].logW)
	}
	var f fitted
	sum, second := 0.0, 0.0
	for _, n := range nodes {
		k := math.Exp(n.logW - best)
		sum += k
		f.weight[n.i] += k
		f.end += k * n.end
		second += k * (n.variance + n.end*n.end)
		f.now += k * n.now
		lnTau := math.Log(tauGrid[n.i])
		f.tau += k * lnTau
		f.lnTauSD += k * lnTau * lnTau
		f.shape += k * n.shape
		f.scale += k * n.scale
	}
	for i := range f.weight {
		f.weight[i] /= sum
	}
	f.end, f.now = f.end/sum, f.now/sum
	f.lnTauSD = math.Sqrt(max(f.lnTauSD/sum-math.Pow(f.tau/sum, 2), 0))
	f.tau = math.Exp(f.tau / sum)
	f.variance = max(second/sum-f.end*f.end, 0)
	f.shape, f.scale = f.shape/sum, f.scale/sum
	f.noise = math.Sqrt(f.scale / f.shape)
	f.end, f.now = f.end+last.Y, f.now+last.Y
	return f
}

// line is the posterior for one pair of time constants, relative to the last bin.
type line struct {
	end, variance, now float64
	shape, scale       float64
	logEv              float64
}

// solve is the closed normal–inverse-gamma posterior of
// y = end + a e^(−t/τ₁) + b e^(−t/τ₂) + noise.
func (l Learned) solve(bins []Bin, weight []float64, since float64, prior [3]float64, tau1, tau2 float64) line {
	last := bins[len(bins)-1]
	var m [3][3]float64
	var v [3]float64
	yy := 0.0
	for i := range m {
		m[i][i] = prior[i]
	}
	for i := range bins {
		t, y, k := math.Max(0, bins[i].T-since), bins[i].Y-last.Y, weight[i]
		x1, x2 := math.Exp(-t/tau1), math.Exp(-t/tau2)
		m[0][0] += k
		m[1][0] += k * x1
		m[2][0] += k * x2
		m[1][1] += k * x1 * x1
		m[2][1] += k * x1 * x2
		m[2][2] += k * x2 * x2
		v[0] += k * y
		v[1] += k * x1 * y
		v[2] += k * x2 * y
		yy += k * y * y
	}
	c, logDet := factor(m)
	u := c.forward(v)
	mean := c.backward(u)
	inv := c.forward([3]float64{1, 0, 0})
	r := line{shape: l.shape + float64(len(bins))/2}
	r.scale = l.scale + max(0, yy-u[0]*u[0]-u[1]*u[1]-u[2]*u[2])/2
	r.end = mean[0]
	// Student's t with 2·shape degrees of freedom.
	r.variance = r.scale / (r.shape - 1) * (inv[0]*inv[0] + inv[1]*inv[1] + inv[2]*inv[2])
	t := math.Max(0, last.T-since)
	r.now = mean[0] + mean[1]*math.Exp(-t/tau1) + mean[2]*math.Exp(-t/tau2)
	r.logEv = -0.5*logDet - r.shape*math.Log(r.scale)
	return r
}

// lower is the Cholesky factor of a symmetric 3×3 matrix.
type lower [3][3]float64

func factor(m [3][3]float64) (l lower, logDet float64) {
	for j := range 3 {
		for i := j; i < 3; i++ {
			s := m[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				l[i][i] = math.Sqrt(max(s, 1e-14))
				logDet += 2 * math.Log(l[i][i])
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	return l, logDet
}

func (l lower) forward(b [3]float64) [3]float64 {
	for i := range 3 {
		for k := range i {
			b[i] -= l[i][k] * b[k]
		}
		b[i] /= l[i][i]
	}
	return b
}

func (l lower) backward(b [3]float64) [3]float64 {
	for i := 2; i >= 0; i-- {
		for k := i + 1; k < 3; k++ {
			b[i] -= l[k][i] * b[k]
		}
		b[i] /= l[i][i]
	}
	return b
}
