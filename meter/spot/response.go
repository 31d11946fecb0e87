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
	// The standards 4.01 and 7.00 taken for each other: the meter shows their
	// sum less the pH.
	swappedSum = 11.01
)

// response is what the additions between two settled readings did, over what
// the labels say.
type response struct {
	from, to int // additions in force before and after
	r, sd    float64
	drops    float64
	stock    int     // −1 when several
	moved    float64 // pH
	wrong    bool    // the pH went the other way, surely
	size     float64 // pH that what is missing or too much comes to
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
		x.wrong = x.moved*q < 0 && math.Abs(x.moved) > 0.05+4*math.Hypot(a.SD, b.SD)
		x.size = math.Abs(q) / math.Max(math.Max(a.Capacity, b.Capacity), 1e-12)
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
	if f, ok := alternating(c, all); ok {
		return []Finding{f}
	}
	if f, ok := oneOff(c, clear); ok {
		return []Finding{f}
	}
	if f, ok := erratic(c, clear); ok {
		return []Finding{f}
	}
	if f, ok := factor(c, clear); ok {
		return []Finding{f}
	}
	return nil
}

// jar: the first reading is far off, or the first answer has the wrong sign.
func jar(c Case, all []response) (Finding, bool) {
	if len(c.Stops) == 0 || math.IsNaN(c.StartLow) {
		return Finding{}, false
	}
	first := c.Stops[0]
	off := c.off(first.PH) > farOff && first.After == 0 && math.Abs(first.Extra) > 0.25*c.Buffer
	wrong := len(all) > 0 && all[0].wrong
	mirror := c.off(swappedSum-first.PH) < farOff
	opposite := len(all) > 0 && all[0].r > -1.6 && all[0].r < -0.55 // as much as the label says, the other way
	switch {
	case wrong && (off || mirror && !opposite):
		return found(Swapped, c.T, fmt.Sprintf("the first reading is %.2f, for %.1f to %.1f, and the pH goes the wrong way", first.PH, c.StartLow, c.StartHigh), WrongTitrant), true
	case wrong:
		return found(WrongTitrant, c.T, "the first answer has the wrong sign", Swapped), true
	case off && len(all) > 0 && all[0].r > noneAt:
		return found(WrongSalt, c.T, fmt.Sprintf("the first reading, %.2f, is far from %.1f to %.1f", first.PH, c.StartLow, c.StartHigh)), true
	case off && len(all) == 0 && c.Rested && !suspected(c, "other_form") && !suspected(c, "exchanged") && mirror:
		return found(Swapped, c.T, fmt.Sprintf("the first reading is %.2f, for %.1f to %.1f: as if the standards 4 and 7 had changed places", first.PH, c.StartLow, c.StartHigh), WrongSalt), true
	case off && len(all) == 0 && c.Rested:
		return found(WrongSalt, c.T, fmt.Sprintf("the first reading, %.2f, is far from %.1f to %.1f", first.PH, c.StartLow, c.StartHigh), Swapped), true
	}
	return Finding{}, false
}

// silent: no answer to two additions or more.
func silent(c Case, all []response) (Finding, bool) {
	n := 0
	for _, a := range all {
		if math.Abs(a.r) > 0.12 || a.sd > 0.2 || a.size < 0.1 {
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

// agree reports whether responses but one are alike, within their spreads.
func agree(all []response, but int) bool {
	r, _, n := typical(all, but)
	chi := 0.0
	for i, a := range all {
		if i != but {
			chi += math.Pow((a.r-r)/a.sd, 2)
		}
	}
	return n < 2 || chi < 3*float64(n-1)+3
}

// oneOff: one addition without an answer among others that have one, or one
// with far more than its own.
func oneOff(c Case, all []response) (Finding, bool) {
	for i, a := range all {
		r, sd, n := typical(all, i)
		if n == 0 || a.to-a.from != 1 || !agree(all, i) {
			continue
		}
		switch {
		case r > 0.5 && a.r < noneAt*r && a.r+sureBy*a.sd < 0.7*r && a.size*r > 0.12:
			return found(Missed, c.T, fmt.Sprintf("addition %d had no answer, the others did", a.to), Hung), true
		case n >= 2 && math.Abs(a.r-r) > 4.5*math.Hypot(a.sd, sd) && math.Abs(a.r-r)*a.size > 0.12 && (r > 0.6 && r < 1.5):
			return found(Unlogged, c.T, fmt.Sprintf("addition %d did %.1f times what its label says, the others %.1f", a.to, a.r, r)), true
		}
	}
	return Finding{}, false
}

// erratic: additions that do now too much and now too little, in no order: the
// electrode jumps when it is touched.
func erratic(c Case, all []response) (Finding, bool) {
	r, _, n := typical(all, -1)
	if n < 4 {
		return Finding{}, false
	}
	odd, up, down := 0, false, false
	for _, a := range all {
		if z := (a.r - r) / a.sd; math.Abs(z) > 3 && math.Abs(a.r-r)*a.size > 0.05 {
			odd++
			up, down = up || z > 0, down || z < 0
		}
	}
	return found(Hole, c.T, fmt.Sprintf("%d of %d additions did too much or too little, in no order: the electrode jumps when something touches it", odd, n), Hung),
		odd >= 2 && up && down
}

// alternating: now the last drop stays on the tip, with the next addition it falls.
func alternating(c Case, all []response) (Finding, bool) {
	for _, a := range all {
		if a.to-a.from != 1 || a.drops <= 0 || a.stock < 0 {
			return Finding{}, false
		}
	}
	if len(all) < 4 {
		return Finding{}, false
	}
	plain, _ := fits(c, all, func(int) bool { return false })
	best, r := math.Inf(1), 1.0
	for phase := range 2 {
		if chi, k := fits(c, all, func(i int) bool { return i%2 == phase }); chi < best {
			best, r = chi, k
		}
	}
	return found(Hung, c.T, "every other addition does one drop too little, and the next one too much"),
		plain-best > hungSure && best < 2.5*float64(len(all)) && r > 0.6 && r < 1.6
}

// hungSure is by how much the account of hanging drops must fit better, in χ².
const hungSure = 14.0

// fits is how well the responses agree with drops that hang on the tip after
// the additions named by hangs, as χ², and their common factor.
func fits(c Case, all []response, hangs func(i int) bool) (chi, factor float64) {
	want := make([]float64, len(all))
	up, norm := 0.0, 0.0
	one := func(i int) float64 {
		d := c.Doses[i]
		if d.Drops <= 0 || !hangs(i) {
			return 0
		}
		return d.Charge * math.Min(1, 1/d.Drops)
	}
	for k, a := range all {
		i := a.to - 1
		q := c.Doses[i].Charge
		want[k] = 1 - one(i)/q
		if i > 0 {
			want[k] += one(i-1) / q
		}
		up, norm = up+a.r*want[k]/(a.sd*a.sd), norm+want[k]*want[k]/(a.sd*a.sd)
	}
	factor = up / norm
	for k, a := range all {
		chi += math.Pow((a.r-factor*want[k])/a.sd, 2)
	}
	return chi, factor
}

// factor: every addition does the same factor too much or too little.
func factor(c Case, all []response) (Finding, bool) {
	r, sd, n := typical(all, -1)
	doses, size := 0, 0.0
	for _, a := range all {
		doses, size = doses+a.to-a.from, size+a.size
	}
	if size < 0.4 || n < 3 || sd > 0.12 || !agree(all, -1) {
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
