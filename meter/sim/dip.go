package sim

import "math"

// Sends says what the meter of a bench sends.
type Sends uint8

// The kinds of meters.
const (
	SendPH   Sends = iota // pH by a calibration inside, with the errors of the truth
	SendMV                // the potential of the electrode, not calibrated
	SendBoth              // both on one line
)

// place is where the electrode is.
type place uint8

const (
	inBeaker place = iota
	inStandard
	inRinse
)

// Figures of an electrode in demineralised water (choice): a slow, unsteady
// reading near the pH of water with carbon dioxide from the air.
const (
	rinsePH    = 5.8
	rinseNoise = 8.0 // times the noise in a buffer
	rinseTau   = 3.0 // times that of the electrode in a buffer
)

// dipped is where the electrode was put last.
type dipped struct {
	place place
	ph    float64 // of the liquid, where it is not the beaker
	gap   float64 // what it showed too much when it was moved, pH
	moved float64 // when that was, s
}

// Dips reports whether there are standards to put the electrode into.
func (b *Bench) Dips() bool { return true }

// Into takes the electrode out of the beaker and puts it into a liquid of a pH. The
// beaker goes on by itself meanwhile.
func (b *Bench) Into(ph float64) { b.stand(inStandard, ph) }

// Rinse holds it into demineralised water.
func (b *Bench) Rinse() { b.stand(inRinse, rinsePH) }

// Back puts it into the beaker again.
func (b *Bench) Back() { b.stand(inBeaker, 0) }

// InBeaker reports whether it stands in the beaker.
func (b *Bench) InBeaker() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.dip.place == inBeaker
}

func (b *Bench) stand(to place, ph float64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.present()
	was := b.shown()
	b.dip = dipped{place: to, ph: ph, moved: b.t}
	b.dip.gap = was - b.shown()
}

// gone is what is left of where the electrode came from, pH.
func (b *Bench) gone() float64 {
	tau := b.truth.Tau
	if b.dip.place == inRinse {
		tau *= rinseTau
	}
	if b.dip.gap == 0 || tau <= 0 {
		return 0
	}
	return b.dip.gap * math.Exp(-(b.t-b.dip.moved)/tau)
}
