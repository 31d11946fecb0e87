// Package course is the course of the readings of an electrode in one liquid after the
// other: what a second's readings come to, where they begin to be those of the liquid, and
// the end values of all dips with their covariance, fitted together as one experiment on
// one electrode. Potentials are in mV, times in s.
package course

import (
	"math"
	"slices"
)

// Sample is a reading as a potential.
type Sample struct{ T, Y float64 } // s, mV

// Bin is what the readings of about a second come to.
type Bin struct {
	T, Y float64 // s from the start of the dip, mV
	N    float64 // readings in it
}

// Dip is the course of the readings in one liquid.
type Dip struct {
	Bins []Bin
	Gap  float64 // s between the last reading of the dip before and the start; 0 for the first
	Step float64 // mV, the last digit of the meter
}

// lasts is how long the readings went on, s.
func (a *Dip) lasts() float64 { return a.Bins[len(a.Bins)-1].T }

// Came is how far they came, mV.
func (a *Dip) Came() (way float64) {
	for _, b := range a.Bins {
		way = max(way, math.Abs(b.Y-a.Bins[len(a.Bins)-1].Y))
	}
	return way
}

// Hiss is the standard deviation of one reading, mV, as it goes from one to the
// next: the slow ways of the electrode are not in it.
func (a *Dip) Hiss() float64 {
	if len(a.Bins) < LeastIn {
		return 0
	}
	var list []float64
	for i := 1; i < len(a.Bins)-1; i++ {
		list = append(list, math.Abs(a.Bins[i].Y-(a.Bins[i-1].Y+a.Bins[i+1].Y)/2)*math.Sqrt(a.Bins[i].N))
	}
	slices.Sort(list)
	return max(list[len(list)/2]/(medianOfNormal*math.Sqrt(1.5)), 0.3*a.Step)
}

// medianOfNormal is the median of the absolute value of a normal deviate.
const medianOfNormal = 0.6745

// binSpan is how long readings are joined, s.
const binSpan = 1.0

// Binned joins the readings of about a second: their median, which one wild
// reading does not move, or of two their mean.
func Binned(list []Sample) []Bin {
	var out []Bin
	var ys []float64
	for i := 0; i < len(list); {
		from, t := list[i].T, 0.0
		ys = ys[:0]
		for ; i < len(list) && list[i].T < from+binSpan-1e-9; i++ {
			ys, t = append(ys, list[i].Y), t+list[i].T
		}
		slices.Sort(ys)
		n := len(ys)
		out = append(out, Bin{t / float64(n), (ys[(n-1)/2] + ys[n/2]) / 2, float64(n)})
	}
	return despiked(out)
}

// A bin is wild when it stands out of the line between its neighbours by so
// many times what bins usually do, and by so many mV (choice).
const (
	spikeTimes = 9.0
	spikeLeast = 1.5
)

// despiked leaves out single wild values.
func despiked(list []Bin) []Bin {
	if len(list) < 5 {
		return list
	}
	off := make([]float64, len(list))
	for i := 1; i < len(list)-1; i++ {
		off[i] = list[i].Y - (list[i-1].Y+list[i+1].Y)/2
	}
	usual := make([]float64, 0, len(list))
	for _, x := range off[1 : len(off)-1] {
		usual = append(usual, math.Abs(x))
	}
	slices.Sort(usual)
	limit := spikeTimes*usual[len(usual)/2] + spikeLeast
	out := list[:0:0]
	for i, b := range list {
		// A spike turns the lines on both of its sides the other way.
		if math.Abs(off[i]) > limit && (i < 2 || off[i]*off[i-1] < 0) && (i > len(list)-3 || off[i]*off[i+1] < 0) {
			continue
		}
		out = append(out, b)
	}
	return out
}

// LeastIn is how many bins an approach has at the least (choice).
const LeastIn = 5

// How the start of an approach is found (choice).
const (
	anywhere = 400.0 // mV, the range over which a reading outside of the standard may lie
	lateWide = 10.0  // mV, that the late part may lack
)

var startFast, startLate = logGrid(0.8, 50, 10), [...]float64{60, 200}

// Start is the number of the first bin from which on the readings are one
// approach: those before were of the rinsing, or of air, because it was said too
// soon that the electrode was in. Each account of where it begins is weighed by
// its evidence, whose logarithm comes along; a reading before the start may be anything.
func Start(list []Bin) (first int, evidence float64) {
	if len(list) <= LeastIn {
		return 0, 0
	}
	way := 0.0
	for _, b := range list {
		way = max(way, math.Abs(b.Y-list[len(list)-1].Y))
	}
	evidence = math.Inf(-1)
	for _, fast := range startFast {
		for _, late := range startLate {
			w, i := startWith(list, fast, late, way+1)
			if w > evidence {
				evidence, first = w, i
			}
		}
	}
	return first, evidence
}

// startWith is the best start for given time constants, and its evidence. The
// sums are gathered from the end backwards: when the start moves back by a bin,
// each exponential only changes its scale.
func startWith(list []Bin, fast, late, way float64) (best float64, at int) {
	const n = 4
	taus := [n]float64{fast, filmTau, late, math.Inf(1)}
	sds := [n]float64{wide, filmPart * way, lateWide, wide}
	var g [n + 1][n + 1]float64
	last := list[len(list)-1].T
	best = math.Inf(-1)
	for i := len(list) - 1; i >= 0; i-- {
		b := list[i]
		var f [n + 1]float64
		f[n] = 1
		for j, tau := range taus {
			f[j] = math.Exp(-(last - b.T) / tau)
		}
		last = b.T
		row := [n + 1]float64{1, 1, 1, 1, b.Y}
		for j := range g {
			for k := 0; k <= j; k++ {
				g[j][k] = g[j][k]*f[j]*f[k] + b.N*row[j]*row[k]
			}
		}
		m := len(list) - i
		if m < LeastIn {
			continue
		}
		a, det := g, 1.0
		for j, sd := range sds {
			p := noiseGuess * noiseGuess / (sd * sd)
			a[j][j] += p
			det *= p
		}
		for j := range n {
			det /= a[j][j]
			for k := j + 1; k <= n; k++ {
				x := a[k][j] / a[j][j]
				for l := j + 1; l <= k; l++ {
					a[k][l] -= x * a[l][j]
				}
			}
		}
		shape := noiseFirm + float64(m)/2
		scale := noiseFirm*noiseGuess*noiseGuess + max(a[n][n], 0)/2
		gamma, _ := math.Lgamma(shape)
		w := gamma + noiseFirm*math.Log(noiseFirm*noiseGuess*noiseGuess) - shape*math.Log(scale) + math.Log(det)/2 - float64(m)/2*math.Log(2*math.Pi)
		if w -= float64(i) * math.Log(anywhere); w > best {
			best, at = w, i
		}
	}
	return best, at
}
