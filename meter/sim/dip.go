package sim

import "math"

// dipped is where the electrode stands that was taken out of the beaker.
type dipped struct {
	out   bool
	ph    float64 // of the liquid
	gap   float64 // what it showed too much when it was moved last, pH
	moved float64 // when that was, s
}

// Dips reports whether there are standards to put the electrode into.
func (b *Bench) Dips() bool { return true }

// Into takes the electrode out of the beaker and puts it into a liquid of a pH. The
// beaker goes on by itself meanwhile.
func (b *Bench) Into(ph float64) { b.stand(true, ph) }

// Back puts it into the beaker again.
func (b *Bench) Back() { b.stand(false, 0) }

func (b *Bench) stand(out bool, ph float64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.clock != nil {
		b.advance(b.clock.Seconds())
	}
	was := b.shown()
	b.dip = dipped{out: out, ph: ph, moved: b.t}
	b.dip.gap = was - b.shown()
}

// gone is what is left of where the electrode came from, pH.
func (d *dipped) gone(t, tau float64) float64 {
	if d.gap == 0 || tau <= 0 {
		return 0
	}
	return d.gap * math.Exp(-(t-d.moved)/tau)
}
