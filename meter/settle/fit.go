package settle

import "math"

// fitted is the posterior of one window, over the grid.
type fitted struct {
	end, variance, now, noise, tau float64
	lnTauSD, sum                   float64
	weight                         [gridSize][shapes]float64
	shape, scale                   float64 // of the noise variance
}

// Prior standard deviations, pH. What is still to come is of the order of the
// step that is expected, or of what has been seen when none is: a tail far
// larger than its cause is not believed in.
const (
	stepShare = 2.0 // times the expected step
	stepFloor = 0.03
	seenShare = 2.0 // times the range seen, when nothing is known of the step
	seenFloor = 0.3
)

// stepSD is the prior standard deviation of the step to the end value.
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

// How far an approach strays from the lags, relative to the distance from the
// latest reading: while it mixes, and later.
const (
	shapeEarly = 0.15
	shapeLate  = 0.006
)

// weights make less of early readings, and of those far from the last one: no
// approach follows first-order lags to the last digit, and the far readings
// would otherwise decide by their number what the near ones show better.
func (l *Learned) weights(bins []Bin, since float64) []float64 {
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
const temper = 0.8

// hopeless is how far below the best prior a node may be, ln, to be looked at.
const hopeless = 8.0

// fit sums over time constants and shapes.
func (l *Learned) fit(w Window) (f fitted) {
	bins := w.Bins()
	g := l.grid(w, bins)
	best := math.Inf(-1)
	for i := range g.logW {
		for k := range g.logW[i] {
			best = max(best, g.logW[i][k])
		}
	}
	for i := range g.nodes {
		for k := range g.nodes[i] {
			if d := g.logW[i][k] - best; d > -40 {
				f.add(&g.nodes[i][k], math.Exp(d), i, k)
			}
		}
	}
	f.divide()
	last := bins[len(bins)-1]
	f.end, f.now = f.end+last.Y, f.now+last.Y
	return f
}

// grid holds the posteriors of all time constants and shapes worth a look, with
// the logarithms of their weights; −∞ for the others.
type grid struct {
	nodes [gridSize][shapes]line
	logW  [gridSize][shapes]float64
}

func (l *Learned) grid(w Window, bins []Bin) *grid {
	g := &grid{}
	weight, most := l.weights(bins, w.Since), l.most()
	s := sample{learned: l, window: w, bins: bins, weight: weight, noise: l.scale / l.shape, step: stepSD(w, bins)}
	if w.Carry == nil {
		p := s.prior(0, 0)
		s.rest = &p
	}
	rows := make([]lags, len(bins))
	for j, b := range bins {
		rows[j].mix(b.T-w.Since, w.immersed())
	}
	for i, tau := range tauGrid {
		if l.best(i) < most-hopeless {
			g.logW[i] = never
			continue
		}
		for j, b := range bins {
			rows[j].follow(b.T-w.Since, tau, w.immersed())
		}
		for mixing := range mixTaus {
			s.mixing(rows, i, mixing, most-hopeless, &g.nodes[i], &g.logW[i])
		}
	}
	return g
}

// never are the weights of a time constant out of the question.
var never = func() (n [shapes]float64) {
	for k := range n {
		n[k] = math.Inf(-1)
	}
	return n
}()

// mixing fits the shapes of one mixing; immersed, all mixings are alike.
func (s *sample) mixing(rows []lags, i, mixing int, least float64, nodes *[shapes]line, logW *[shapes]float64) {
	var m moments
	alike := s.window.immersed() && mixing > 0
	if !alike {
		m = s.sums(rows, mixing)
	}
	for j := range slowShares {
		k := mixing*len(slowShares) + j
		switch prior := s.learned.logPrior[i][k]; {
		case prior < least && !alike:
			logW[k] = math.Inf(-1)
			continue
		case alike:
			nodes[k] = nodes[j]
		default:
			nodes[k] = s.solve(&m, &rows[len(rows)-1], i, k)
		}
		logW[k] = s.learned.logPrior[i][k] + temper*nodes[k].logEv
	}
}

// best is the largest logarithm of a prior weight at one time constant.
func (l *Learned) best(i int) float64 {
	m := l.logPrior[i][0]
	for _, v := range l.logPrior[i][1:] {
		m = max(m, v)
	}
	return m
}

// most is the largest logarithm of a prior weight.
func (l *Learned) most() float64 {
	m := math.Inf(-1)
	for i := range l.logPrior {
		m = max(m, l.best(i))
	}
	return m
}

// add counts one node with its weight.
func (f *fitted) add(n *line, p float64, i, k int) {
	lnTau := math.Log(tauGrid[i])
	end, variance := n.x[uEnd], n.end
	f.sum += p
	f.weight[i][k] = p
	f.end += p * end
	f.variance += p * (variance + end*end)
	f.now += p * n.now
	f.tau += p * lnTau
	f.lnTauSD += p * lnTau * lnTau
	f.shape += p * n.shape
	f.scale += p * n.scale
}

// divide turns the sums into means.
func (f *fitted) divide() {
	for i := range f.weight {
		for k := range f.weight[i] {
			f.weight[i][k] /= f.sum
		}
	}
	f.end, f.now = f.end/f.sum, f.now/f.sum
	f.variance = max(f.variance/f.sum-f.end*f.end, 0)
	f.lnTauSD = math.Sqrt(max(f.lnTauSD/f.sum-math.Pow(f.tau/f.sum, 2), 0))
	f.tau = math.Exp(f.tau / f.sum)
	f.shape, f.scale = f.shape/f.sum, f.scale/f.sum
	f.noise = math.Sqrt(f.scale / f.shape)
}
