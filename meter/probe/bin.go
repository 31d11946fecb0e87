package probe

import "slices"

// bin is the readings of a fast meter that are joined to one. The first few stand in
// the bin itself, since a tracker is copied with each reading.
type bin struct {
	n    int
	few  [12]obs
	more []obs
}

func (b *bin) push(o obs) {
	if b.n < len(b.few) {
		b.few[b.n] = o
	} else {
		b.more = append(slices.Clip(b.more), o)
	}
	b.n++
}

// middle is the median at the mean time.
func (b *bin) middle() obs {
	ys, t := make([]float64, 0, 2*len(b.few)), 0.0
	for _, list := range [][]obs{b.few[:min(b.n, len(b.few))], b.more} {
		for _, o := range list {
			ys = append(ys, o.y)
			t += o.t / float64(b.n)
		}
	}
	slices.Sort(ys)
	return obs{t, (ys[(b.n-1)/2] + ys[b.n/2]) / 2}
}
