package probe

import "math"

// summary is what the bank says of the end value now.
type summary struct {
	end, variance float64 // of the pH that the beaker comes to
	within        float64 // the part of the variance that is in each cell
	now           float64 // the reading without noise
	lnFast        float64 // of the time constant of the fast part, s
	late          float64 // share of the late part
	lacks         float64 // pH, what it still lacks
	noise         float64 // variance of a reading
}

func (b *bank) sum() (s summary) {
	var ends float64
	noise := b.noises()
	for i := range b.nodes {
		n := &b.nodes[i]
		w := n.w
		s.end += w * n.x[xEnd]
		ends += w * n.x[xEnd] * n.x[xEnd]
		s.within += w * n.p[xEnd][xEnd]
		s.now += w * n.shown()
		s.lnFast += w * lnFast[n.cell.fast]
		s.late += w * n.x[xShare]
		s.lacks += w * n.x[xLate]
		s.noise += w * noise[n.cell.noise]
	}
	s.variance = s.within + math.Max(ends-s.end*s.end, 0)
	return s
}

// lnFast are the logarithms of the time constants.
var lnFast = func() (l [fastSize]float64) {
	for i, tau := range fastGrid {
		l[i] = math.Log(tau)
	}
	return l
}()

// firmness is how well the noise is known: half of the degrees of freedom.
func (b *bank) firmness() (shape float64) {
	for i := range b.nodes {
		shape += b.nodes[i].w * b.hiss[b.nodes[i].cell.noise].shape
	}
	return shape
}
