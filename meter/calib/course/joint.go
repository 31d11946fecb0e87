package course

import (
	"math"
)

// The approaches of all dips of a calibration are one experiment on one
// electrode: the better part of it follows with a time constant of seconds, a
// small share, the late part, with one of minutes, and where that share stands
// is carried from one dip into the next. Fitted dip by dip, a late part is lost
// and bends the slope; fitted together, each dip tells the others of it.
//
// For given time constants and share all else is linear: the end values, how
// far the electrode was from them when it was put in, where the late part stood,
// what it met while it was rinsed. So a grid of time constants and shares is
// gone through, each cell a linear regression with the noise integrated out
// (G. E. P. Box, G. C. Tiao, Bayesian Inference in Statistical Analysis, 1973,
// ch. 2, from memory), and the end values are the mean over the cells, their
// covariance with it.

// MaxDips is how many dips a calibration may have: five standards and a check.
const MaxDips = 6

// Ends are the end values of the dips together; the first N of each list count.
type Ends struct {
	N    int
	MV   [MaxDips]float64
	Cov  [MaxDips][MaxDips]float64 // mV²
	Left [MaxDips]float64          // mV, what the late part still lacks at the end of each dip
	Fast float64                   // s, time constant of the fast part
	Late float64                   // share of the late part
	SD   float64                   // mV, of one reading
}

// Grids of the cells.
var (
	jointFast  = logGrid(0.7, 55, 19)
	jointLate  = [...]float64{30, 45, 68, 100, 150, 225, 340}
	jointShare = [...]float64{0, 0.003, 0.007, 0.013, 0.021, 0.031, 0.044, 0.060, 0.080, 0.105}
)

func logGrid(low, high float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = low * math.Pow(high/low, float64(i)/float64(n-1))
	}
	return out
}

// Figures of judgement of the joint fit, a choice of this project: what is
// thought of an electrode before its first reading rests on the figures measured
// on open recordings (63 % in 0.7 to 3.5 s, poor ones 20 to 60 s; 0.2 to 4.6 % of
// a step left after a minute).
const (
	fastMid, fastLn   = 4.5, 1.0   // s, ln
	lateMid, lateLn   = 100.0, 1.0 // s, ln
	shareMid, shareLn = 0.020, 1.3 // ln
	noLate            = 0.1        // prior of no late part
	wide              = 180.0      // mV, of end values and of where the electrode stood
	rinseSD           = 90.0       // mV, of what it meets between two dips
	bent              = 0.12       // ln, by which the fast part differs from dip to dip
	filmTau           = 1.2        // s, of the liquid that still hangs on it
	filmPart          = 0.4        // of the step, that this may do
	noiseGuess        = 0.3        // mV
	noiseFirm         = 1.0        // half of the degrees of freedom of that guess
	tempered          = 0.5        // power of the likelihood: all cells are a little wrong
	drifts            = 0.15       // mV, by which an electrode does not repeat
	poorPower         = 0.5
	poorHigh          = 4.0
	lateDoubt         = 0.3 // of what the late part still lacks: it is no one exponential
)

// Joint fits the dips together; ok is false unless each has three bins.
func Joint(dips []Dip) (e Ends, ok bool) {
	if len(dips) == 0 || len(dips) > MaxDips {
		return e, false
	}
	for i := range dips {
		if len(dips[i].Bins) < 3 {
			return e, false
		}
	}
	m := mixture{n: len(dips), best: math.Inf(-1), cells: make([]cellFit, 0, len(jointFast)*len(jointLate)*len(jointShare))}
	lates := make([][]float64, len(jointLate))
	for i, late := range jointLate {
		lates[i] = decays(dips, late)
	}
	film := decays(dips, filmTau)
	for _, fast := range jointFast {
		zf := math.Log(fast/fastMid) / fastLn
		quick := decays(dips, fast)
		for i, late := range jointLate {
			g := gramOf(dips, fast, quick, film, lates[i])
			zl := math.Log(late/lateMid) / lateLn
			for k, share := range jointShare {
				if share == 0 && late != jointLate[0] {
					continue // the same cell
				}
				prior := math.Log(noLate)
				if share > 0 {
					zs := math.Log(share/(shareMid*poorer(fast))) / shareLn
					prior = math.Log((1-noLate)*shareWidth[k]*lateWeight) - (zl*zl+zs*zs)/2
				}
				var c cellFit
				c.prior, c.fast, c.share = prior-zf*zf/2, fast, share
				if g.solve(dips, late, &c, m.best-negligible) {
					m.cells, m.best = append(m.cells, c), max(m.best, c.logW)
				}
			}
		}
	}
	e = m.ends()
	for i := range dips { // what a coarse digit hides, the less the more the noise turns it over
		d := dips[i].Step
		x := 0.29 * d / math.Sqrt(1+e.SD/max(d, 1e-9))
		e.Cov[i][i] += x * x
	}
	return e, true
}

// poorer is by how much the late part of an electrode is usually greater for its
// fast part: one that is slow is poor in both.
func poorer(fast float64) float64 {
	return math.Pow(math.Min(fast/fastMid, poorHigh), poorPower)
}

// shareWidth is the part of the logarithm of the share that a cell stands for.
var shareWidth = func() (w [len(jointShare)]float64) {
	s := jointShare
	for k := 1; k < len(s); k++ {
		low, high := s[k]*s[k]/s[min(k+1, len(s)-1)], s[k]
		if k > 1 {
			low = math.Sqrt(s[k-1] * s[k])
		}
		if k < len(s)-1 {
			high = math.Sqrt(s[k] * s[k+1])
		}
		w[k] = math.Log(high / low)
	}
	return w
}()

// lateWeight makes the prior of the cells with a late part sum to one for each
// time constant of the fast part.
var lateWeight = func() float64 {
	sum := 0.0
	for _, late := range jointLate {
		for k := 1; k < len(jointShare); k++ {
			zl, zs := math.Log(late/lateMid)/lateLn, math.Log(jointShare[k]/shareMid)/shareLn
			sum += math.Exp(-(zl*zl+zs*zs)/2) * shareWidth[k]
		}
	}
	return 1 / sum
}()

// Columns of the regression of one dip. The first three are its own affair and
// are integrated out; the last two are bound to the other dips.
const (
	colFast = iota // what the fast part lacked
	colBent        // its time constant is not quite that of the cell
	colFilm        // what was left on the electrode
	colEnd         // the end value
	colLate        // what the late part lacked
	columns
	own = colEnd
)

// mixture are the cells of n dips.
type mixture struct {
	n     int
	best  float64 // logarithm of the greatest weight
	cells []cellFit
}

// negligible is the logarithm of a share of the greatest weight that does not count.
// It is no figure of judgement: a greater one only costs time.
const negligible = 14.0

// ends are the means over the cells.
func (m *mixture) ends() Ends {
	e := Ends{N: m.n}
	sum, noise := 0.0, 0.0
	for i := range m.cells {
		c := &m.cells[i]
		w := math.Exp(c.logW - m.best)
		c.logW = w
		sum += w
		e.Fast += w * math.Log(c.fast)
		e.Late += w * c.share
		noise += w * c.noise
		for j := range m.n {
			e.MV[j] += w * c.mv[j]
			e.Left[j] += w * c.left[j]
		}
	}
	e.Fast, e.Late, e.SD = math.Exp(e.Fast/sum), e.Late/sum, math.Sqrt(noise/sum)
	for j := range m.n {
		e.MV[j] /= sum
		e.Left[j] /= sum
	}
	for i := range m.cells {
		c := &m.cells[i]
		w := c.logW / sum
		if w < 1e-9 {
			continue
		}
		for j := range m.n {
			for k := range m.n {
				e.Cov[j][k] += w * (c.cov[j][k] + (c.mv[j]-e.MV[j])*(c.mv[k]-e.MV[k]))
			}
		}
	}
	for j := range m.n {
		d := lateDoubt * e.Left[j]
		e.Cov[j][j] += drifts*drifts + d*d
	}
	return e
}
