package account

import (
	"math"

	"example.org/halfdrop/chem"
)

// Level is the net charge of a composition held at a pH: its value, its
// slopes with the unknowns and its sensitivity to the scatter of each addition.
type Level struct {
	Value float64   // mol; 0 for a beaker that has the pH
	Slope float64   // mol per pH, below 0
	Grad  []float64 // mol per unit of each unknown
	Scat  []float64 // mol per relative error of each addition
}

// LevelAt evaluates the charge at a shown pH with additions in the beaker; md is the medium
// there.
func (a *Account) LevelAt(adds []Addition, x []float64, shown chem.PH, md *chem.Medium) Level {
	f := a.Factors(x)
	c := a.Added(adds, 0, &f, x, a.Untouched(x))
	lv := Level{Grad: make([]float64, len(x)), Scat: make([]float64, len(adds))}
	a.LevelOf(&lv, adds, x, &f, &c, shown, md)
	return lv
}

// LevelOf is LevelAt for a composition at hand; lv has room for its slopes, all 0.
func (a *Account) LevelOf(lv *Level, adds []Addition, x []float64, f *Factors, c *chem.Composition, shown chem.PH, md *chem.Medium) {
	b := a.bench
	ph := float64(shown) - x[Shift]
	lv.Value, lv.Slope = b.Model.ChargeIn(ph, md, c)
	content, _ := b.Model.ChargeIn(ph, md, &a.Weighed)
	lv.Grad[weighing] = math.Exp(x[weighing]) * content
	lv.Grad[Excess] = a.buffer
	lv.Grad[Shift] = -lv.Slope
	if a.jump > 0 && len(adds) >= a.jump {
		lv.Grad[len(x)-1] = 1
	}
	d := b.droppers()
	var per [maxStocks]float64 // charge of a litre of each stock there
	for j := range a.Stocks {
		per[j], _ = b.Model.ChargeIn(ph, md, &a.Stocks[j])
	}
	for k := range adds {
		if k+1 == a.missed {
			continue
		}
		add := a.given(adds, k)
		q := per[add.Stock] * add.Volume.Litres() * f.of(add)
		lv.Grad[firstDropper+d+add.Stock] += q
		if add.Drops > 0 {
			lv.Grad[firstDropper+b.Stocks[add.Stock].Dropper] += q
		}
		lv.Scat[k] = q * a.Care.scatterOf(b, add)
	}
}

// ScatterOf is the relative standard deviation of the volume of an addition that careful hands have
// made: what was read off in mL was read to a part of a step, which is much of a small volume.
func (b *Bench) ScatterOf(add *Addition) float64 { return cares[0].scatterOf(b, add) }

// Scatter is the relative standard deviation of the volume of drops by careful hands; of one that
// is measured in mL where there are none.
func (b *Bench) Scatter(stock int, drops float64) float64 { return cares[0].scatter(b, stock, drops) }

// Scatter is that of the hands of an account.
func (a *Account) Scatter(stock int, drops float64) float64 {
	return a.Care.scatter(a.bench, stock, drops)
}

func (c *Care) scatterOf(b *Bench, add *Addition) float64 {
	s := c.scatter(b, add.Stock, add.Drops)
	if add.Drops <= 0 {
		s = math.Hypot(s, readPart*float64(b.Stocks[add.Stock].Drop/add.Volume))
	}
	return s
}

// readPart is how well a volume is read off, as part of a step of the pipette or of a drop
// (common practice, no source: to a third of a division).
const readPart = 0.3

func (c *Care) scatter(b *Bench, stock int, drops float64) float64 {
	if drops <= 0 {
		if l := c.learned(b, stock); l != nil { // what is known of a drop is not known of a mL
			return math.Hypot(pouredSD, l.PouredSD)
		}
		return pouredSD
	}
	s := b.Stocks[stock].ScatterSD
	if s == 0 {
		s = scatterSD
	}
	s *= c.Scatter / math.Sqrt(drops)
	if drops < 1 {
		s = math.Hypot(s, halfSD)
	}
	return s
}

// halfSD is the scatter of half a drop that is touched off and rinsed in,
// relative; a choice of this project.
const halfSD = 0.25

// Held brings a medium up to date for a composition that is held at a shown pH.
func (a *Account) Held(shown chem.PH, x []float64, c *chem.Composition, md *chem.Medium) {
	a.bench.Model.BalanceIn(float64(shown)-x[Shift], md, c)
}
