package probe

import "math"

// classes are the weights of the classes of noise.
func (b *bank) classes() (w [len(noiseMid)]float64) {
	for i := range b.nodes {
		w[b.nodes[i].cell.noise] += b.nodes[i].w
	}
	return w
}

// keep gives the classes of noise the weights that they had.
func (b *bank) keep(was [len(noiseMid)]float64) {
	is := b.classes()
	for i := range b.nodes {
		n := &b.nodes[i]
		n.logW += math.Log(math.Max(was[n.cell.noise], 1e-9) / is[n.cell.noise])
	}
	b.trim()
}

// firm is the variance of a reading over all classes of these weights.
func firm(v, weights *[len(noiseMid)]float64) (mean float64) {
	for i, w := range weights {
		mean += w * v[i]
	}
	return mean
}
