package spot

import (
	"fmt"
	"math"
	"strings"
)

// Figures of judgement for what additions did.
const (
	scaleSD   = 0.035 // pH, by which the scale of this beaker may be shifted
	scatterSD = 0.05  // of single drops, relative
	shapeSD   = 0.04  // of a response, by the shape of the curve
	vagueSD   = 0.35  // a response with more spread than that says nothing
	weakAt    = 0.68  // of the label
	strongAt  = 1.32
	halfAt    = 1.73 // between 1.5, another dropper, and 2, half of the buffer
	noneAt    = 0.25
	sureBy    = 2.5 // standard deviations
)

// response is what the additions between two settled readings did, over what
// the labels say.
type response struct {
	from, to int // additions in force before and after
	r, sd    float64
	drops    float64
	stock    int // −1 when several
	moved    float64
}

// answers are the responses of a run.
func answers(c Case) []response {
	var out []response
	for i := 1; i < len(c.Stops); i++ {
		a, b := c.Stops[i-1], c.Stops[i]
		if b.After <= a.After || b.After > len(c.Doses) {
			continue
		}
		q, spread, x := 0.0, 0.0, response{from: a.After, to: b.After, stock: c.Doses[a.After].Stock, moved: b.PH - a.PH}
		for _, d := range c.Doses[a.After:b.After] {
			q += d.Charge
			x.drops += d.Drops
			spread += d.Charge * d.Charge * scatterSD * scatterSD / math.Max(d.Drops, 1)
			if d.Stock != x.stock {
				x.stock = -1
			}
		}
		if q == 0 {
			continue
		}
		x.r = 1 + (b.Extra-a.Extra)/q
		err := math.Hypot(math.Hypot(a.Capacity*a.SD, b.Capacity*b.SD), (b.Capacity-a.Capacity)*scaleSD)
		x.sd = math.Sqrt(err*err+spread)/math.Abs(q) + shapeSD
		out = append(out, x)
	}
	return out
}

// responses are the faults of bottles, droppers and weighing.
func responses(c Case) []Finding {
	all := answers(c)
	var clear []response
	for _, a := range all {
		if a.sd < vagueSD {
			clear = append(clear, a)
		}
	}
	if f, ok := jar(c, clear); ok {
		return []Finding{f}
	}
	if f, ok := silent(c, clear); ok {
		return []Finding{f}
	}
	if f, ok := oneOff(c, clear); ok {
		return []Finding{f}
	}
	if f, ok := alternating(c, all); ok {
		return []Finding{f}
	}
	if f, ok := factor(c, clear); ok {
		return []Finding{f}
	}
	return nil
}

// jar: the first reading is far off, or the first answer has the wrong sign.
func jar(c Case, all []response) (Finding, bool) {
	if len(c.Stops) == 0 || math.IsNaN(c.Start) {
		return Finding{}, false
	}
	first := c.Stops[0]
	off := math.Abs(first.PH-c.Start) > 1.2 && first.After == 0
	wrong := len(all) > 0 && all[0].r+sureBy*all[0].sd < 0.1 && all[0].r < -0.3
	switch {
	case off && wrong:
		return found(Swapped, c.T, fmt.Sprintf("the first reading, %.2f, is far from %.1f, and the pH goes the wrong way", first.PH, c.Start), WrongTitrant), true
	case wrong:
		return found(WrongTitrant, c.T, "the first answer has the wrong sign", Swapped), true
	case off && len(all) > 0:
		return found(WrongSalt, c.T, fmt.Sprintf("the first reading, %.2f, is far from %.1f", first.PH, c.Start)), true
	}
	return Finding{}, false
}

// silent: no answer to two additions or more.
func silent(c Case, all []response) (Finding, bool) {
	n := 0
	for _, a := range all {
		if a.r > 0.12 || a.sd > 0.2 {
			return Finding{}, false
		}
		n += a.to - a.from
	}
	if n < 2 || len(all) == 0 {
		return Finding{}, false
	}
	y := c.Stops[len(c.Stops)-1].PH
	return deaf(c, y, fmt.Sprintf("%d additions and no answer, the reading stands at %.2f", n, y)), true
}

// typical is the response of the others, with its spread.
func typical(all []response, but int) (r, sd float64, n int) {
	sum, weight := 0.0, 0.0
	for i, a := range all {
		if i != but {
			w := 1 / (a.sd * a.sd)
			sum, weight, n = sum+w*a.r, weight+w, n+1
		}
	}
	return sum / weight, math.Sqrt(1 / weight), n
}

// oneOff: one addition without an answer among others that have one, or one
// with far more than its own.
func oneOff(c Case, all []response) (Finding, bool) {
	for i, a := range all {
		r, sd, n := typical(all, i)
		if n == 0 || a.to-a.from != 1 {
			continue
		}
		switch {
		case r > 0.5 && a.r < noneAt*r && a.r+sureBy*a.sd < 0.7*r:
			return found(Missed, c.T, fmt.Sprintf("addition %d had no answer, the others did", a.to), Hung), true
		case n >= 2 && r < 1.5 && a.r-r > 0.8 && a.r-r > 4*math.Hypot(a.sd, sd):
			return found(Unlogged, c.T, fmt.Sprintf("addition %d did %.1f times what its label says, the others %.1f", a.to, a.r, r)), true
		}
	}
	return Finding{}, false
}

// alternating: now a drop too few, now one too many.
func alternating(c Case, all []response) (Finding, bool) {
	r, _, n := typical(all, -1)
	if n < 4 || !(r > 0.6 && r < 1.6) {
		return Finding{}, false
	}
	// The sum of all drops missing or too many so far is one drop and nothing in
	// turn; beside it there is the scatter.
	sum, turns, fit, against := 0.0, 0, 0.0, 0.0
	last := 0.0
	for _, a := range all {
		if a.to-a.from != 1 || a.drops <= 0 {
			return Finding{}, false
		}
		e, sd := (a.r/r-1)*a.drops, math.Hypot(a.sd/r*a.drops, 0.1)
		if sd > 0.45 {
			last = 0
			continue
		}
		if last*e < 0 {
			turns++
		}
		want := -1.0
		if last < 0 {
			want = 1
		}
		fit += math.Pow((e-want)/sd, 2)
		against += math.Pow(e/sd, 2)
		sum, last = sum+e, e
	}
	return found(Hung, c.T, "now a drop too little falls, and with the next addition one too many"), turns >= 2 && against-fit > 12
}

// factor: every addition does the same factor too much or too little.
func factor(c Case, all []response) (Finding, bool) {
	r, sd, n := typical(all, -1)
	doses := 0
	for _, a := range all {
		doses += a.to - a.from
	}
	if n < 2 || doses < 2 || sd > 0.12 {
		return Finding{}, false
	}
	words := fmt.Sprintf("%d additions did %.2g times what their labels say", doses, r)
	switch {
	case r < weakAt && r+2*sd < 0.8:
		return found(WeakTitrant, c.T, words, Dropper), true
	case r > strongAt && r-2*sd > 1.12:
		if suspected(c, "amount:0.5") || r > halfAt {
			return found(HalfBuffer, c.T, words, Dropper), true
		}
		return found(Dropper, c.T, words, HalfBuffer), true
	}
	return Finding{}, false
}

// suspected reports whether the coach has an account at the head of its list.
func suspected(c Case, code string) bool {
	return len(c.Suspects) > 0 && strings.HasPrefix(c.Suspects[0], code)
}
