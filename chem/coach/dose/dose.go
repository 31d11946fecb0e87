package dose

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/normal"
)

// Dosing holds, for one stock, the view of all accounts on its doses.
type Dosing struct {
	b     *account.Bench
	bel   *belief.Belief
	stock int
	dir   float64
	limit []view      // at aim + tolerance
	mid   belief.Goal // at the aim, for the likeliest
	near  belief.Goal // a little short of it, where the mean of a fresh advice may land
}

// view is one of aim + tolerance.
type view struct {
	belief.View
	already float64 // chance of being beyond it before anything is added
}

// shortOf is how far short of the aim the mean of a fresh advice stays, as part
// of the tolerance: room for an advice to stand while the reading wavers.
const shortOf = 0.05

// Of is the dosing of a stock in a direction of pH, 1 for up and -1 for down, on a belief.
func Of(bel *belief.Belief, stock int, dir float64) Dosing {
	d := Dosing{b: bel.Bench, bel: bel, stock: stock, dir: dir}
	views := bel.Views(stock, d.past(1))
	d.limit = make([]view, len(views))
	for i, v := range views {
		d.limit[i] = view{v, v.Chance(dir, 0, 0)}
	}
	if !d.b.Unweighed {
		d.mid, d.near = bel.Goal(stock, 0), bel.Goal(stock, d.past(-shortOf))
	}
	return d
}

// past is how far off the aim it is to so many tolerances past it.
func (d *Dosing) past(tolerances float64) chem.PH {
	return chem.PH(d.dir * tolerances * d.b.Tolerance)
}

// leads reports whether the stock moves the pH in the direction wanted: as the
// likeliest account has it, or by its label when none of the list counts.
func (d *Dosing) leads() bool {
	if d.bel.Unnamed() {
		return d.dir*d.charge(1) > 0
	}
	return d.dir*d.mid.PerL > 0
}

// charge is the labelled charge of n drops, mol.
func (d *Dosing) charge(n float64) float64 { return d.b.LabelledDrops(d.stock, n) }

// Chance that n drops bring the beaker past aim and tolerance, over all accounts, 0 to 1: what
// is past already is not the doing of this addition.
func (d *Dosing) Chance(n float64) float64 {
	vol := chem.Volume(n * d.b.Stocks[d.stock].Drop.Litres())
	total := 0.0
	for i := range d.limit {
		v := &d.limit[i]
		total += v.Weight * math.Max(0, v.Chance(d.dir, vol, v.Scatter(d.stock, n))-v.already)
	}
	if f := d.bel.Free; f.Weight > belief.LeastWeight {
		to := f.Aim + d.past(1)
		given := f.Beyond(d.dir, to, chem.Amount(d.charge(n)), d.stock, d.b.Scatter(d.stock, n))
		total += f.Weight * math.Max(0, given-f.Beyond(d.dir, to, 0, d.stock, 0))
	}
	return total
}

// most is how many drops bring the mean of the likeliest account a little short
// of the aim.
func (d *Dosing) most() float64 {
	if d.bel.Unnamed() {
		missing, _ := d.bel.Free.Ahead(d.bel.Free.Aim+d.past(-shortOf), d.stock)
		return missing.Moles() / d.charge(1)
	}
	return -d.near.Missing / (d.near.PerL * d.b.Stocks[d.stock].Drop.Litres())
}

// safe is the largest whole number of drops, up to most, that keeps the
// chance and whose mean does not pass the aim.
func (d *Dosing) safe(most float64) Option {
	most = math.Floor(min(most, d.most()))
	o := d.option(d.within(0, most, d.chanceOf()))
	if o.Drops >= most || len(d.bel.History.Additions) == 0 || d.bel.Unnamed() || d.vague() {
		return o
	}
	if last := d.within(o.Drops, most, math.Max(d.last(), o.Chance)); last > o.Drops && d.ends(last) >= lastShare {
		return d.option(last)
	}
	return o
}

// vague reports whether the way to the aim is so little known that no addition may
// well be the last: not even one that leads to the aim itself in the mean.
func (d *Dosing) vague() bool {
	const widest = 1.69 // tolerances: a spread of which less than lastShare is within endsWithin
	sd := math.Hypot(d.mid.SD, d.mid.LnSD*(d.mid.Pull-d.mid.Missing))
	return sd > widest*math.Abs(d.limit[0].Missing-d.mid.Missing)
}

// option is the stock with a number of drops.
func (d *Dosing) option(drops float64) Option {
	o := Option{Stock: d.stock, Drops: drops, Charge: math.Abs(d.charge(1))}
	if drops > 0 {
		o.Chance = d.Chance(drops)
	}
	return o
}

// within is the largest whole number of drops that keeps a chance, up to most;
// safe is one that does.
func (d *Dosing) within(safe, most, limit float64) float64 {
	if most < 1 || d.Chance(most) <= limit {
		return max(most, 0)
	}
	lo, hi := safe, most
	for hi-lo > 1 {
		mid := math.Floor((lo + hi) / 2)
		if d.Chance(mid) <= limit {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// ends is the chance that n drops bring the reading so near to the aim that no
// further addition is needed, as the likeliest account has it.
func (d *Dosing) ends(n float64) float64 {
	after, low, high := d.Landing(n)
	return normal.Quantity{Mean: after - d.bel.Aim(), SD: normal.SDOf(high - low)}.Within(endsWithin * d.b.Tolerance)
}

// Landing is the settled reading, pH, to expect after n drops, with its central 95 %.
func (d *Dosing) Landing(n float64) (after, low, high float64) { return d.bel.Landing(d.stock, n) }
