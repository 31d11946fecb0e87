package probe

import "math"

// Known is an electrode in figures that a person can read, for a file: what is
// known of its time constants, its late part and its noise, each by itself.
type Known struct {
	Tau       float64    // s, of the fast part
	TauSD     float64    // ln
	LargeLate float64    // chance that the late part is a large one
	Late      [3]float64 // chances of the time constants of the late part, shortest first; the first stands for all up to there, the last for all from there on
	Class     [3]float64 // chances of the classes of noise, quiet first
	Noise     [3]float64 // pH, in each class
	Firm      [3]float64 // how firmly that is known: half of the degrees of freedom
}

// lateOf is which of the time constants of Known.Late a cell has.
func lateOf(c cell) int { return min(max(int(c.late)-1, 0), len(Known{}.Late)-1) }

// Known are the figures of an electrode.
func (e Electrode) Known() (k Known) {
	var w [cells]float64
	most := math.Inf(-1)
	for _, l := range e.logW {
		most = math.Max(most, l)
	}
	sum, ln, ln2 := 0.0, 0.0, 0.0
	for i, c := range allCells {
		w[i] = math.Exp(e.logW[i] - most)
		sum += w[i]
		ln += w[i] * lnFast[c.fast]
		ln2 += w[i] * lnFast[c.fast] * lnFast[c.fast]
		k.Late[lateOf(c)] += w[i]
		k.Class[c.noise] += w[i]
		k.LargeLate += w[i] * float64(c.share)
	}
	for i := range k.Late {
		k.Late[i] /= sum
		k.Class[i] /= sum
	}
	k.LargeLate /= sum
	ln /= sum
	k.Tau, k.TauSD = math.Exp(ln), math.Sqrt(math.Max(ln2/sum-ln*ln, 0))
	for i, h := range e.hiss {
		k.Noise[i], k.Firm[i] = math.Sqrt(h.scale/h.shape), h.shape
	}
	return k
}

// alike is the part that a cell has of those whose time constants of the late part have one
// place in Known.Late, as they were before any reading.
func (c cell) alike() float64 {
	sum := 0.0
	for l, odds := range lateOdds {
		if lateOf(cell{late: uint8(l)}) == lateOf(c) {
			sum += odds[c.share]
		}
	}
	return lateOdds[c.late][c.share] / sum
}

// leastTauSD is the least spread that a time constant is taken over with, ln: half
// a step of the grid.
const leastTauSD = 0.075

// Electrode is the electrode of these figures. A share of it, fresh, is what is
// thought of one that nobody knows, and its noise is known that much less firmly.
func (k Known) Electrode(fresh float64) Electrode {
	e := Unknown()
	var w [cells]float64
	sum, other := 0.0, 0.0
	sd := math.Max(k.TauSD, leastTauSD)
	for i, c := range allCells {
		z := (lnFast[c.fast] - math.Log(k.Tau)) / sd
		share := [...]float64{1 - k.LargeLate, k.LargeLate}[c.share]
		late := k.Late[lateOf(c)] * c.alike()
		w[i] = math.Exp(-z*z/2) * late * share * k.Class[c.noise]
		sum += w[i]
		other += math.Exp(e.logW[i])
	}
	for i := range e.logW {
		e.logW[i] = math.Log((1-fresh)*w[i]/math.Max(sum, 1e-300) + fresh*math.Exp(e.logW[i])/other)
	}
	for i := range e.hiss {
		if k.Noise[i] > 0 && k.Firm[i] > 0 {
			shape := noiseDF + (1-fresh)*math.Max(k.Firm[i]-noiseDF, 0)
			e.hiss[i] = hiss{shape: shape, scale: shape * k.Noise[i] * k.Noise[i]}
		}
	}
	return e
}
