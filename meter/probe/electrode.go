package probe

import "math"

// Electrode is what is known of an electrode before its first reading of a run:
// weights of time constants and late part, and its noise.
type Electrode struct {
	logW [cells]float64
	hiss [len(noiseMid)]hiss
}

// Unknown is an electrode that nobody has seen before.
func Unknown() Electrode {
	var e Electrode
	for i, sd := range noiseMid {
		e.hiss[i] = hiss{shape: noiseDF, scale: noiseDF * sd * sd}
	}
	for i, c := range allCells {
		e.logW[i] = c.prior()
	}
	return e
}

// electrode is what the bank has learned of the electrode, for another beaker:
// its cells with their neighbours, and never quite sure.
func (b *bank) electrode() Electrode {
	e := Unknown()
	var w [cells]float64
	for _, n := range b.spread().nodes {
		w[n.index()] = n.w
	}
	sum := 0.0
	for i := range e.logW {
		sum += math.Exp(e.logW[i])
	}
	for i := range e.logW {
		fresh := math.Exp(e.logW[i]) / sum
		e.logW[i] = math.Log((1-freshShare)*w[i] + freshShare*fresh)
	}
	for i := range e.hiss {
		if h := b.hiss[i]; h.shape > 0 {
			k := math.Min(1, mostHiss/h.shape)
			e.hiss[i] = hiss{h.shape * k, h.scale * k}
		}
	}
	return e
}

// freshShare of the weight goes to what is thought of an unknown electrode, and
// of the noise no more is carried over than this many half degrees of freedom.
const (
	freshShare = 0.05
	mostHiss   = 8.0
)
