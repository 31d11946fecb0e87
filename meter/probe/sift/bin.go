package sift

import (
	"math"
	"slices"
)

// Bin is the readings of a fast meter that are joined to one. The first few stand in
// the bin itself, since it is copied with each reading.
type Bin struct {
	n    int
	few  [12]Sample
	more []Sample
}

// Push takes a reading in place; a copy of the bin that was made before stays as it was.
func (b *Bin) Push(o Sample) {
	if b.n < len(b.few) {
		b.few[b.n] = o
	} else {
		b.more = append(slices.Clip(b.more), o)
	}
	b.n++
}

// Empty reports whether there is nothing in it.
func (b *Bin) Empty() bool { return b.n == 0 }

// Since is when its first reading came, s; 0 for an empty one.
func (b *Bin) Since() float64 { return b.few[0].T }

// Middle is the median pH at the mean time, without a temperature. Not to be asked of an
// empty one.
func (b *Bin) Middle() Sample {
	ys, t := make([]float64, 0, 2*len(b.few)), 0.0
	for _, list := range [][]Sample{b.few[:min(b.n, len(b.few))], b.more} {
		for _, o := range list {
			ys = append(ys, o.PH)
			t += o.T / float64(b.n)
		}
	}
	return Sample{T: t, PH: median(ys), Temp: math.NaN()}
}
