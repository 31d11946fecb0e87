package settle

import "math"

// The grid of time constants, s: a healthy electrode has 2–10 s, a poor one
// 20–60 s (practice figures, derived; see the meter's guide).
const (
	gridSize = 64
	tauMin   = 1.5
	tauMax   = 70.0
)

var tauGrid = func() (g [gridSize]float64) {
	for i := range g {
		g[i] = tauMin * math.Pow(tauMax/tauMin, float64(i)/(gridSize-1))
	}
	return g
}()

// Learned is what earlier windows taught about electrode, stirring and noise.
type Learned struct {
	logPrior [gridSize][shapes]float64 // log weights of time constants and shapes
	shape    float64                   // inverse-gamma prior of the noise variance
	scale    float64
}

// Fresh is the knowledge before any reading: a time constant of about 7 s
// within a factor of two and a half, noise of about 0.004.
func Fresh() Learned {
	l := Learned{shape: 1.5, scale: 1.5 * noiseGuess * noiseGuess}
	for i, tau := range tauGrid {
		z := math.Log(tau/7) / 0.9
		for k := range shapes {
			l.logPrior[i][k] = -z*z/2 + math.Log(slowPrior[k%len(slowShares)])
		}
	}
	return l
}

// One composition settles much like the next, not exactly: how far the time
// constant may have moved, ln, how much of the shapes is forgotten, and the
// weight that what was known at the start keeps.
const (
	tauBlur    = 0.08
	shapeBlur  = 0.15
	freshShare = 0.03
	mostNoise  = 10.0 // bins, halved: what is known of the noise weighs no more
)

// Learn carries over what the window says of time constant, shape and noise.
func (l Learned) Learn(w Window) Learned {
	if w.Len() < minBins {
		return l
	}
	f := l.fit(w)
	out := Learned{shape: f.shape, scale: f.scale}
	fresh := Fresh().weights0()
	kept := blurred(&f.weight)
	for i := range kept {
		for k := range kept[i] {
			out.logPrior[i][k] = math.Log((1-freshShare)*kept[i][k] + freshShare*fresh[i][k])
		}
	}
	if out.shape > mostNoise {
		out.scale *= mostNoise / out.shape
		out.shape = mostNoise
	}
	return out
}

// weights0 are the prior weights, summing to 1.
func (l Learned) weights0() (w [gridSize][shapes]float64) {
	most, sum := l.most(), 0.0
	for i := range w {
		for k := range w[i] {
			w[i][k] = math.Exp(l.logPrior[i][k] - most)
			sum += w[i][k]
		}
	}
	for i := range w {
		for k := range w[i] {
			w[i][k] /= sum
		}
	}
	return w
}

// blurred smooths weights over neighbouring time constants and over shapes.
func blurred(w *[gridSize][shapes]float64) (out [gridSize][shapes]float64) {
	cell := math.Log(tauMax/tauMin) / (gridSize - 1)
	for i := range w {
		norm := 0.0
		var row [shapes]float64
		for j := range w {
			z := float64(i-j) * cell / tauBlur
			if math.Abs(z) > 5 {
				continue
			}
			g := math.Exp(-z * z / 2)
			norm += g
			for k := range row {
				row[k] += g * w[j][k]
			}
		}
		sum := 0.0
		for k := range row {
			sum += row[k] / norm
		}
		for k := range row {
			out[i][k] = (1-shapeBlur)*row[k]/norm + shapeBlur*sum*slowPrior[k%len(slowShares)]/float64(len(mixTaus))
		}
	}
	return out
}

// Carry is where the lags of an electrode stand, for every time constant and
// shape: what a change finds that comes before the last one has died away.
type Carry struct {
	at [gridSize][shapes]standing
}

// standing are mean and covariance of the three lags.
type standing struct {
	mean [3]float64
	cov  [3][3]float64
}

// Carry is where the lags stand at time t, s, at the end of the window; nil
// when it holds too little to tell.
func (l Learned) Carry(w Window, t float64) *Carry {
	if w.Len() < minBins {
		return nil
	}
	bins := w.Bins()
	g := l.grid(w, bins)
	last := bins[len(bins)-1].Y
	out := &Carry{}
	var at lags
	at.mix(t-w.Since, w.immersed())
	for i, tau := range tauGrid {
		at.follow(t-w.Since, tau, w.immersed())
		for k := range shapes {
			out.at[i][k] = g.nodes[i][k].standing(at.states(k), last)
		}
	}
	return out
}

// standing is where the lags stand, given their rows in the unknowns.
func (n *line) standing(rows [3][unknowns]float64, last float64) (s standing) {
	if n.noise == 0 {
		return standing{mean: [3]float64{last, last, last}} // was not worth a look
	}
	cov, _ := invert(&n.precision)
	for r := range rows {
		s.mean[r] = last
		for c := range rows[r] {
			s.mean[r] += rows[r][c] * n.x[c]
		}
		for q := range r + 1 {
			for c := range rows[r] {
				for d := range rows[q] {
					s.cov[r][q] += rows[r][c] * n.noise * cov[c][d] * rows[q][d]
				}
			}
		}
	}
	return s
}
