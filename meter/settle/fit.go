package settle

import "math"

// fitted is the posterior of one window, over the grid.
type fitted struct {
	end, variance, now, noise, tau float64
	lnTauSD, sum                   float64
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
const temper = 0.6

// The shapes of an approach beside its time constant: how fast titrant mixes
// in, s, and which share of the electrode is slow, by a factor of slowTail.
var (
	mixTaus    = [...]float64{0.7, 1.7, 3.2}
	slowShares = [...]float64{0, 0.12, 0.3}
	slowPrior  = [...]float64{0.75, 0.18, 0.07}
)

const shapes = len(mixTaus) * len(slowShares)

// fit sums over time constants and shapes.
func (l Learned) fit(w Window) fitted {
	bins := w.Bins()
	last := bins[len(bins)-1]
	weight, noise, step := l.weights(bins, w.Since), l.scale/l.shape, stepSD(w, bins)
	prior := [2]float64{noise / (endSD * endSD), noise / (step * step)}
	var nodes [gridSize][shapes]line
	var logW [gridSize][shapes]float64
	best := math.Inf(-1)
	for i, tau := range tauGrid {
		nodes[i] = l.solve(bins, weight, w.Since, prior, tau)
		for k := range shapes {
			logW[i][k] = l.logTau[i] + temper*nodes[i][k].logEv + math.Log(slowPrior[k%len(slowShares)])
			best = max(best, logW[i][k])
		}
	}
	var f fitted
	for i := range nodes {
		for k, n := range nodes[i] {
			f.add(n, math.Exp(logW[i][k]-best), i)
		}
	}
	f.divide()
	f.end, f.now = f.end+last.Y, f.now+last.Y
	return f
}

// add counts one node with its weight.
func (f *fitted) add(n line, k float64, i int) {
	lnTau := math.Log(tauGrid[i])
	f.sum += k
	f.weight[i] += k
	f.end += k * n.end
	f.variance += k * (n.variance + n.end*n.end)
	f.now += k * n.now
	f.tau += k * lnTau
	f.lnTauSD += k * lnTau * lnTau
	f.shape += k * n.shape
	f.scale += k * n.scale
}

// divide turns the sums into means.
func (f *fitted) divide() {
	for i := range f.weight {
		f.weight[i] /= f.sum
	}
	f.end, f.now = f.end/f.sum, f.now/f.sum
	f.variance = max(f.variance/f.sum-f.end*f.end, 0)
	f.lnTauSD = math.Sqrt(max(f.lnTauSD/f.sum-math.Pow(f.tau/f.sum, 2), 0))
	f.tau = math.Exp(f.tau / f.sum)
	f.shape, f.scale = f.shape/f.sum, f.scale/f.sum
	f.noise = math.Sqrt(f.scale / f.shape)
}

// line is the posterior for one shape, relative to the last bin.
type line struct {
	end, variance, now float64
	shape, scale       float64
	logEv              float64
}

// moments are the weighted sums of a straight-line fit of y on x.
type moments struct{ x, xx, xy, lastX float64 }

// solve is the closed normal–inverse-gamma posterior of y = end + a g(t) + noise
// for each shape g at one time constant.
func (l Learned) solve(bins []Bin, weight []float64, since float64, prior [2]float64, tau float64) [shapes]line {
	last := bins[len(bins)-1].Y
	var m [shapes]moments
	var n, sy, yy float64
	for i := range bins {
		t, y, k := math.Max(0, bins[i].T-since), bins[i].Y-last, weight[i]
		n, sy, yy = n+k, sy+k*y, yy+k*y*y
		g := approaches(t, tau)
		for j, x := range g {
			m[j].x += k * x
			m[j].xx += k * x * x
			m[j].xy += k * x * y
			m[j].lastX = x
		}
	}
	var out [shapes]line
	for j := range m {
		out[j] = l.posterior(m[j], n, sy, yy, prior, len(bins))
	}
	return out
}

// approaches are the shapes at time t: what is left of a step after mixing and
// electrode, both first order.
func approaches(t, tau float64) (g [shapes]float64) {
	fast, slow := math.Exp(-t/tau), math.Exp(-t/(slowTail*tau))
	for i, m := range mixTaus {
		mixed := math.Exp(-t / m)
		a, b := series(fast, mixed, tau, m), series(slow, mixed, slowTail*tau, m)
		for j, s := range slowShares {
			g[i*len(slowShares)+j] = (1-s)*a + s*b
		}
	}
	return g
}

// series is what is left of a step behind two first-order lags in series.
func series(e, mixed, tau, m float64) float64 {
	if d := tau - m; math.Abs(d) > 1e-3 {
		return (tau*e - m*mixed) / d
	}
	return e
}

func (l Learned) posterior(m moments, n, sy, yy float64, prior [2]float64, bins int) line {
	a, b, c := n+prior[0], m.x, m.xx+prior[1]
	det := math.Max(a*c-b*b, 1e-300)
	end, amp := (c*sy-b*m.xy)/det, (a*m.xy-b*sy)/det
	r := line{end: end, now: end + amp*m.lastX, shape: l.shape + float64(bins)/2}
	r.scale = l.scale + math.Max(0, yy-end*sy-amp*m.xy)/2
	r.variance = r.scale / (r.shape - 1) * c / det // Student's t with 2·shape degrees of freedom
	r.logEv = -0.5*math.Log(det) - r.shape*math.Log(r.scale)
	return r
}
