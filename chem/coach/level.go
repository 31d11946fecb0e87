package coach

import (
	"math"

	"example.org/halfdrop/chem"
)

// level is the net charge of a composition held at a pH: its value, its
// slopes with the unknowns and its sensitivity to the scatter of each addition.
type level struct {
	value, slope float64
	grad         []float64
	scat         []float64
}

// levelAt evaluates the charge at a shown pH after the first n additions.
// md is the medium there.
func (b *Bench) levelAt(h *hypothesis, adds []Addition, n int, x []float64, shown float64, md *chem.Medium) level {
	f := b.factors(h, x)
	c := b.added(h, adds, 0, n, &f, x, b.untouched(h, x))
	lv := level{grad: make([]float64, len(x)), scat: make([]float64, len(adds))}
	b.levelOf(&lv, h, adds, n, x, &f, &c, shown, md)
	return lv
}

// levelOf is levelAt for a composition at hand; lv has room for its slopes.
func (b *Bench) levelOf(lv *level, h *hypothesis, adds []Addition, n int, x []float64, f *factors, c *chem.Composition, shown float64, md *chem.Medium) {
	ph := shown - x[iShift]
	lv.value, lv.slope = b.Model.ChargeIn(ph, md, c)
	content, _ := b.Model.ChargeIn(ph, md, &h.weighed)
	lv.grad[iAmount] = math.Exp(x[iAmount]) * content
	lv.grad[iExcess] = h.buffer
	lv.grad[iShift] = -lv.slope
	if h.jump > 0 && n >= h.jump {
		lv.grad[len(x)-1] = 1
	}
	d := b.droppers()
	var per [maxStocks]float64 // charge of a litre of each stock there
	for j := range h.stocks {
		per[j], _ = b.Model.ChargeIn(ph, md, &h.stocks[j])
	}
	for k := range adds[:n] {
		a := &adds[k]
		if k+1 == h.missed {
			continue
		}
		q := per[a.Stock] * a.Volume.Litres() * f.of(a)
		lv.grad[iDropper+d+a.Stock] += q
		if a.Drops > 0 {
			lv.grad[iDropper+b.Stocks[a.Stock].Dropper] += q
		}
		lv.scat[k] = q * b.scatterOf(h, a)
	}
}

// scatterOf is the relative standard deviation of the volume of one addition that was made:
// what was read off in mL was read to a part of a step, which is much of a small volume.
func (b *Bench) scatterOf(h *hypothesis, a *Addition) float64 {
	s := b.scatter(h, a.Stock, a.Drops)
	if a.Drops <= 0 {
		s = math.Hypot(s, readPart*float64(b.Stocks[a.Stock].Drop/a.Volume))
	}
	return s
}

// readPart is how well a volume is read off, as part of a step of the pipette or of a drop
// (common practice, no source: to a third of a division).
const readPart = 0.3

// scatter is the relative standard deviation of the volume of one addition.
func (b *Bench) scatter(h *hypothesis, stock int, drops float64) float64 {
	if drops <= 0 {
		if l := b.learned(h, stock); l != nil { // what is known of a drop is not known of a mL
			return math.Hypot(pouredSD, l.PouredSD)
		}
		return pouredSD
	}
	s := b.Stocks[stock].ScatterSD
	if s == 0 {
		s = scatterSD
	}
	s *= h.care.scatter / math.Sqrt(drops)
	if drops < 1 {
		s = math.Hypot(s, halfSD)
	}
	return s
}

// halfSD is the scatter of half a drop that is touched off and rinsed in,
// relative; a choice of this project.
const halfSD = 0.25
