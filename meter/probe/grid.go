package probe

import "math"

// The electrode is taken to be a filter: what the beaker is at reaches it
// through a first-order lag, the mixing; most of what it shows follows with a
// time constant of seconds, and a small share of it, the late part, with one of
// minutes. Each pair of time constants of the grid is followed by itself, and
// weighed by what the readings say; the share is learned in each.
//
// Measured on open recordings: laboratory glass 63 % in 0.7 to 3.5 s, a late
// part of 0.2 to 4.6 % of a step after a minute, 5.4 % once; an ISFET 10 % with
// 380 s. A poor electrode has 20 to 60 s (practice figures, derived).
const (
	fastMin  = 0.6 // s
	fastMax  = 60.0
	fastSize = 32
)

var (
	fastGrid = func() (g [fastSize]float64) {
		for i := range g {
			g[i] = fastMin * math.Pow(fastMax/fastMin, float64(i)/(fastSize-1))
		}
		return g
	}()
	// A late part of glass is spread over time constants (its answer falls with the logarithm
	// of time): 22 s is the quickest of them, and what is left over of a fast part that is no
	// single exponential. With 55 s as the quickest that was taken for a late part of minutes.
	lateGrid = [...]float64{22, 55, 120, 260, 420} // s
	// Only a large late part comes so slowly as the last, and few do (an ISFET of 380 s
	// was recorded; glass that ages in a session, slower by two, may come to it).
	lateOdds = [len(lateGrid)][len(shareMean)]float64{{0.25, 0.25}, {1, 1}, {1, 1}, {1, 1}, {0, 0.12}}
	// The late part is small, or it is not; the noise is that of laboratory
	// glass, of a usual meter or of a simple sensor.
	shareMean = [...]float64{0.015, 0.075}
	shareSD   = [...]float64{0.015, 0.045}
	noiseMid  = [...]float64{0.0015, 0.006, 0.024} // pH
	noiseOdds = [...]float64{0.35, 0.4, 0.25}
)

// Priors, a choice of this project on the figures above.
const (
	fastMid = 4.5 // s
	fastSD  = 1.0 // ln
	// An electrode that is poor in its fast part is so in its late part, too:
	// from this time constant on, s, it is as likely as not.
	poorFrom  = 9.0
	poorPower = 3.0
)

// cells is the number of combinations.
const cells = fastSize * len(lateGrid) * len(shareMean) * len(noiseMid)

// cell is one combination, as indices into the grids.
type cell struct{ fast, late, share, noise uint8 }

var allCells = func() (out [cells]cell) {
	n := 0
	for i := range fastGrid {
		for j := range lateGrid {
			for k := range shareMean {
				for l := range noiseMid {
					out[n] = cell{uint8(i), uint8(j), uint8(k), uint8(l)}
					n++
				}
			}
		}
	}
	return out
}()

// index is the place of the cell among all.
func (c cell) index() int {
	return ((int(c.fast)*len(lateGrid)+int(c.late))*len(shareMean)+int(c.share))*len(noiseMid) + int(c.noise)
}

// prior is the logarithm of the weight of a cell before any reading.
func (c cell) prior() float64 {
	z := math.Log(fastGrid[c.fast]/fastMid) / fastSD
	poor := 1 / (1 + math.Pow(poorFrom/fastGrid[c.fast], poorPower))
	odds := [...]float64{1 - poor, poor}[c.share]
	return -z*z/2 + math.Log(odds*lateOdds[c.late][c.share]*noiseOdds[c.noise])
}

// mixTau is the time constant of mixing, s: 1 to 3 s in a stirred beaker
// (common practice, no source).
const mixTau = 1.8

// pace is what the lags do within one interval.
type pace struct {
	mixed float64           // what is left of a difference round the electrode
	fast  [fastSize]float64 // and of one between the fast part and the beaker
	late  [len(lateGrid)]float64
	// How much of a difference round the electrode the fast part takes on.
	toFast [fastSize]float64
}

// paceOf is the pace of an interval of dt seconds, with the time constants that
// some nodes have.
func paceOf(dt float64, nodes []node) (p pace) {
	p.mixed = math.Exp(-dt / mixTau)
	var has [fastSize]bool
	for i := range nodes {
		has[nodes[i].cell.fast] = true
	}
	for i, tau := range fastGrid {
		if !has[i] {
			continue
		}
		p.fast[i] = math.Exp(-dt / tau)
		d := mixTau - tau
		if math.Abs(d) < 1e-3 {
			d = 1e-3
		}
		p.toFast[i] = mixTau / d * (p.mixed - p.fast[i])
	}
	for i, tau := range lateGrid {
		p.late[i] = math.Exp(-dt / tau)
	}
	return p
}
