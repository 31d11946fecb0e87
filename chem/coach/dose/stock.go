package dose

import (
	"math"
	"slices"
	"sort"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/belief"
)

// Option is a stock with the largest number of drops that is safe.
type Option struct {
	Stock  int
	Drops  float64
	Chance float64 // of passing aim and tolerance with them, 0 to 1
	Charge float64 // |charge| of one drop near the aim, mol
}

// Choice is what each stock that leads the right way may give.
type Choice struct {
	Cramped bool // what is safe of one of them does not fit under the mark

	bel  *belief.Belief
	room chem.Volume
	all  []Dosing
	opts []Option // of the same numbers
}

// Among is the choice among the stocks that lead in a direction of pH, 1 for up and -1 for down,
// with room for a volume. Those aside are not to be had.
func Among(bel *belief.Belief, dir float64, room chem.Volume, aside []int) *Choice {
	c := &Choice{bel: bel, room: room}
	whole := bel.Whole()
	for j, s := range bel.Bench.Stocks {
		if slices.Contains(aside, j) {
			continue
		}
		d := Of(bel, j, dir)
		if !d.leads() {
			continue
		}
		most := math.Floor(room.Litres() / s.Drop.Litres())
		o := d.safe(math.Min(most, math.Floor(whole/math.Abs(d.charge(1)))))
		c.Cramped = c.Cramped || o.Drops >= most
		c.all, c.opts = append(c.all, d), append(c.opts, o)
	}
	return c
}

// None reports whether no stock leads the right way.
func (c *Choice) None() bool { return len(c.opts) == 0 }

// OneDrop is the change of pH by one drop of the weakest stock at the aim.
func (c *Choice) OneDrop() float64 {
	least := math.Inf(1)
	for _, o := range c.opts {
		least = min(least, o.Charge)
	}
	return least / c.bel.Capacity(c.opts[0].Stock)
}

// Contradicted reports whether the likeliest account has the beaker on the other side of the
// aim than the reading: it is the last that is left of the list, and no drop is too large for it.
func (c *Choice) Contradicted() bool {
	return !c.bel.Unnamed() && !slices.ContainsFunc(c.all, func(d Dosing) bool { return d.most() >= 0 })
}

// coarseDrops is a figure of judgement: of fewer drops than this of a stock, the weaker one is
// taken.
const coarseDrops = 4

// Best takes the strongest stock of which enough drops are safe, else the
// weakest that allows one at all; with its dosing. There is to be one.
func (c *Choice) Best() (Option, *Dosing) {
	order := make([]int, len(c.opts))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return c.opts[order[a]].Charge > c.opts[order[b]].Charge })
	k := order[len(order)-1]
	for _, i := range order {
		if c.opts[i].Drops >= coarseDrops {
			k = i
			break
		}
		if c.opts[i].Drops > 0 {
			k = i
		}
	}
	return c.opts[k], &c.all[k]
}

// Finer reports whether a stronger stock was at hand than the one of an option.
func (c *Choice) Finer(than Option) bool {
	return slices.ContainsFunc(c.opts, func(o Option) bool { return o.Charge > 1.5*than.Charge })
}

// Half is half a drop: touched off at the wall of the beaker and rinsed in.
const Half = 0.5

// Finest takes half a drop of the weakest stock where not one whole drop was
// safe; the reading is off the aim by off, pH. Once a person has seen that a drop is a large one
// here, and agreed to go on, a drop may take a greater chance to pass, and its mean may pass the aim
// by a part of the tolerance; once he has agreed again, what lands nearest is given.
func (c *Choice) Finest(agreed int, off float64) {
	least := 0
	for i := range c.opts {
		if c.opts[i].Drops >= 1 {
			return
		}
		if c.opts[i].Charge < c.opts[least].Charge {
			least = i
		}
	}
	d, o := &c.all[least], &c.opts[least]
	best := math.Inf(1)
	for _, n := range []float64{1, Half} {
		if n*d.b.Stocks[d.stock].Drop.Litres() > c.room.Litres() {
			continue
		}
		chance := d.Chance(n)
		after, _, _ := d.Landing(n)
		past := d.dir * (after - d.bel.Aim())
		if !mayGive(agreed, chance, d.Limit(), past, off, d.b.Tolerance) || math.Abs(past) >= best {
			continue
		}
		best, o.Drops, o.Chance = math.Abs(past), n, chance
	}
}

// mayGive reports whether a single drop or half of one may be given that passes
// the limit with a chance, its mean past the aim by past, now that the reading is
// off it by off.
func mayGive(agreed int, chance, limit, past, off, tolerance float64) bool {
	switch agreed {
	case 0:
		return chance <= limit && past <= 0
	case 1:
		return chance <= agreedChance && past <= singlePast*tolerance
	}
	return math.Abs(past) < off
}

// What a person agrees to who has seen that a drop is a large one.
const (
	agreedChance = 0.10 // chance to pass the tolerance
	singlePast   = 0.5  // part of the tolerance by which the mean of a single drop may pass the aim
)
