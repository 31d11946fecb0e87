package coach

import "math"

// Half is half a drop: touched off at the wall of the beaker and rinsed in.
const half = 0.5

// finest takes half a drop of the weakest stock where not one whole drop was
// safe. Once a person has seen that a drop is a large one here, and agreed to go
// on, a drop may take a greater chance to pass, and its mean may pass the aim by a
// part of the tolerance; once he has agreed again, what lands nearest is given.
func finest(all []dosing, opts []option, room float64, agreed int, off float64) {
	least := 0
	for i := range opts {
		if opts[i].drops >= 1 {
			return
		}
		if opts[i].charge < opts[least].charge {
			least = i
		}
	}
	d, o := &all[least], &opts[least]
	best := math.Inf(1)
	for _, n := range []float64{1, half} {
		if n*d.b.Stocks[d.stock].Drop.Litres() > room {
			continue
		}
		c := d.chance(n)
		after, _, _ := d.landing(n)
		past := d.dir * (after - d.bel.posts[0].aim.shown)
		if !mayGive(agreed, c, d.bel.limit(d.stock), past, off, d.b.Tolerance) || math.Abs(past) >= best {
			continue
		}
		best, o.drops, o.chance = math.Abs(past), n, c
	}
}

// mayGive reports whether a single drop or half of one may be given that passes
// the limit with chance c, its mean past the aim by past, now that the reading is
// off it by off.
func mayGive(agreed int, c, limit, past, off, tolerance float64) bool {
	switch agreed {
	case 0:
		return c <= limit && past <= 0
	case 1:
		return c <= agreedChance && past <= singlePast*tolerance
	}
	return math.Abs(past) < off
}

// What a person agrees to who has seen that a drop is a large one.
const (
	agreedChance = 0.10 // chance to pass the tolerance
	singlePast   = 0.5  // part of the tolerance by which the mean of a single drop may pass the aim
)
