package spot

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Figures of judgement for what additions did.
const (
	scaleSD   = 0.035 // pH, by which the scale of this beaker may be shifted
	badScale  = 0.25  // pH, the same for a meter that was not calibrated
	scatterSD = 0.05  // of single drops, relative
	shapeSD   = 0.025 // of a response, by the shape of the curve
	vagueSD   = 0.35  // a response with more spread than that says nothing
	weakAt    = 0.68  // of the label
	strongAt  = 1.36
	halfAt    = 1.73 // between 1.5, another dropper, and 2, half of the buffer
	maybeHalf = 1.5
	noneAt    = 0.25
	sureBy    = 3.5 // standard deviations
	oddBy     = 4.5
	// The standards 4.01 and 7.00 taken for each other: the meter shows their
	// sum less the pH.
	swappedSum = 11.01
)

// response is what the additions between two settled readings did, over what
// the labels say.
type response struct {
	from, to int // additions in force before and after
	r, sd    float64
	lever    float64 // by which a shift of the scale, pH, changes r
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
		x.wrong = x.moved*q < 0 && math.Abs(x.moved) > 0.012+4*math.Hypot(a.SD, b.SD)
		x.size = math.Abs(q) / math.Max(math.Max(a.Capacity, b.Capacity), 1e-12)
		x.lever = (b.Capacity - a.Capacity) / q
		err := math.Hypot(a.Capacity*a.SD, b.Capacity*b.SD)
		big := math.Max(1, math.Abs(x.r)) // what scatters, scatters in proportion
		x.sd = math.Sqrt(err*err+spread*big*big)/math.Abs(q) + shapeSD*big
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
	if f, ok := died(c, clear); ok {
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
	off := c.off(first.PH) > farOff+2*first.SD && first.After == 0 && math.Abs(first.Extra) > 0.25*c.Buffer
	wrong := len(all) > 0 && all[0].wrong
	mirror := c.off(swappedSum-first.PH) < farOff
	opposite := len(all) > 0 && all[0].r > -1.6 && all[0].r < -0.55 // as much as the label says, the other way
	switch {
	case wrong && (off || mirror && !opposite):
		return found(Swapped, c.T, fmt.Sprintf("the first reading is %.2f, for %.1f to %.1f, and the pH goes the wrong way", first.PH, c.StartLow, c.StartHigh), WrongTitrant), true
	case wrong:
		return found(WrongTitrant, c.T, "the first response has the wrong sign", Swapped), true
	case off && len(all) > 0 && all[0].r > noneAt:
		return found(WrongSalt, c.T, fmt.Sprintf("the first reading, %.2f, is far from %.1f to %.1f", first.PH, c.StartLow, c.StartHigh)), true
	case off && len(all) == 0 && c.rested && mirror:
		// Half of all readings that are off are mirrored by chance; who has gone past the aim
		// without the program, and wants to be led back, has calibrated well.
		f := found(Unlogged, c.T, fmt.Sprintf("the first reading is %.2f, where %.1f to %.1f is expected", first.PH, c.StartLow, c.StartHigh), WrongSalt, Swapped)
		f.Try, f.Bad = "c if something was given already; else check the jar, and that standards 4 and 7 were not exchanged", true
		return f, true
	case off && len(all) == 0 && c.rested:
		return found(WrongSalt, c.T, fmt.Sprintf("the first reading, %.2f, is far from %.1f to %.1f", first.PH, c.StartLow, c.StartHigh), Swapped), true
	}
	return Finding{}, false
}

// stayed is how far, pH, a reading may move with an addition and still be said to have stayed:
// a buffer that is not the planned one answers little as well.
const stayed = 0.25

// silent: no answer to two additions or more.
func silent(c Case, all []response) (Finding, bool) {
	n := 0
	for _, a := range all {
		if math.Abs(a.r) > 0.12 || a.sd > 0.2 || a.size < 0.1 || math.Abs(a.moved) > stayed {
			return Finding{}, false
		}
		n += a.to - a.from
	}
	if n < 2 || len(all) == 0 {
		return Finding{}, false
	}
	y := c.Stops[len(c.Stops)-1].PH
	return deaf(c, y, fmt.Sprintf("%d additions and no response; the reading stays at %.2f", n, y)), true
}

// account is what explains the responses: one factor, and a shift of the scale.
type account struct {
	r, shift    float64
	vr, vs, cov float64 // their variances and covariance
	chi         float64 // χ² of what is left
	n           int
}

// account fits the responses but one (−1 for all). want is what each should be
// for a factor of one; nil is one for all.
func explain(all []response, but int, want []float64) account {
	return explainBy(all, but, want, scaleSD)
}

// explainBy is explain for a scale that may be shifted by so much, pH.
func explainBy(all []response, but int, want []float64, scale float64) account {
	var f account
	a, b, c := 0.0, 0.0, 1/(scale*scale)
	x, y := 0.0, 0.0
	of := func(k int) float64 {
		if want == nil {
			return 1
		}
		return want[k]
	}
	for k, o := range all {
		if k == but {
			continue
		}
		w, g := 1/(o.sd*o.sd), of(k)
		a, b, c = a+w*g*g, b+w*g*o.lever, c+w*o.lever*o.lever
		x, y = x+w*g*o.r, y+w*o.lever*o.r
		f.n++
	}
	det := a*c - b*b
	if f.n == 0 || det <= 0 {
		return account{r: math.NaN()}
	}
	f.r, f.shift = (c*x-b*y)/det, (a*y-b*x)/det
	f.vr, f.vs, f.cov = c/det, a/det, -b/det
	for k, o := range all {
		if k != but {
			f.chi += math.Pow((o.r-f.r*of(k)-f.shift*o.lever)/o.sd, 2)
		}
	}
	f.chi += math.Pow(f.shift/scale, 2)
	return f
}

// excess is how much more a response is than the account of the others has it,
// with its spread.
func (f account) excess(o response) (more, sd float64) {
	v := f.vr + 2*f.cov*o.lever + f.vs*o.lever*o.lever
	return o.r - f.r - f.shift*o.lever, math.Sqrt(o.sd*o.sd + math.Max(v, 0))
}

// agrees reports whether the account leaves little unexplained.
func (f account) agrees() bool { return f.n < 2 || f.chi < 3*float64(f.n-1)+4 }

// died: additions had an answer, and the latest ones have none, at pH 7.
func died(c Case, all []response) (Finding, bool) {
	n := len(all)
	if n < 3 || math.Abs(c.Stops[len(c.Stops)-1].PH-7) > near7 {
		return Finding{}, false
	}
	for _, a := range all[n-2:] {
		if math.Abs(a.r) > 0.15 || a.size < 0.05 {
			return Finding{}, false
		}
	}
	return found(Cracked, c.T, "the latest additions have no response at all, and the reading stays at 7", Cap), true
}

// oneOff: one addition without an answer among others that have one, or one
// with far more than its own.
func oneOff(c Case, all []response) (Finding, bool) {
	for i, a := range all {
		f := explain(all, i, nil)
		if f.n == 0 || a.to-a.from != 1 || !f.agrees() {
			continue
		}
		more, sd := f.excess(a)
		switch {
		case f.r > 0.5 && math.Abs(a.r) < noneAt*f.r && more < -sureBy*sd && a.size*f.r > 0.06 && (i+1 < len(all) || f.n >= 3):
			return found(Missed, c.T, fmt.Sprintf("addition %d had no response, the others did", a.to), Hung), true
		case f.n >= 3 && math.Abs(a.r) > noneAt && math.Abs(more) > oddBy*sd && math.Abs(more)*a.size > 0.06 && f.r > 0.55 && f.r < 1.6:
			return found(Unlogged, c.T, fmt.Sprintf("addition %d did %.1f times what its label says, the others %.1f", a.to, a.r, f.r)), true
		}
	}
	return Finding{}, false
}

// erratic: additions that do now too much and now too little, in no order: the
// electrode jumps when it is touched.
func erratic(c Case, all []response) (Finding, bool) {
	f := explain(all, -1, nil)
	if f.n < 4 {
		return Finding{}, false
	}
	odd, up, down := 0, false, false
	for _, a := range all {
		if more := a.r - f.r - f.shift*a.lever; math.Abs(more) > 3*a.sd && math.Abs(more)*a.size > 0.05 {
			odd++
			up, down = up || more > 0, down || more < 0
		}
	}
	return found(Hole, c.T, fmt.Sprintf("%d of %d additions did too much or too little, at random: the electrode jumps when something touches it", odd, f.n), Hung),
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
	plain := explain(all, -1, nil)
	best := account{chi: math.Inf(1)}
	for phase := range 2 {
		if f := explain(all, -1, hanging(c, all, phase)); f.chi < best.chi {
			best = f
		}
	}
	return found(Hung, c.T, "every other addition does one drop too little, and the next one too much"),
		plain.chi-best.chi > hungSure && best.agrees() && best.r > 0.6 && best.r < 1.6
}

// hungSure is by how much the account of hanging drops must fit better, in χ².
const hungSure = 12.0

// hanging is what each addition does, over its label, when the last drop of
// every other one hangs on the tip until the next.
func hanging(c Case, all []response, phase int) []float64 {
	one := func(i int) float64 {
		d := c.Doses[i]
		if d.Drops <= 0 || i%2 != phase {
			return 0
		}
		return d.Charge * math.Min(1, 1/d.Drops)
	}
	want := make([]float64, len(all))
	for k, a := range all {
		i := a.to - 1
		q := c.Doses[i].Charge
		want[k] = 1 - one(i)/q
		if i > 0 {
			want[k] += one(i-1) / q
		}
	}
	return want
}

// factor: every addition does the same factor too much or too little.
func factor(c Case, all []response) (Finding, bool) {
	f := explain(all, -1, nil)
	doses, size := 0, 0.0
	for _, a := range all {
		doses, size = doses+a.to-a.from, size+a.size
	}
	r, sd := f.r, math.Sqrt(f.vr)
	if wide := explainBy(all, -1, nil, badScale); math.Sqrt(wide.vr) > 0.15 || (wide.r-1)*(r-1) < 0.5*(r-1)*(r-1) {
		return Finding{}, false // a meter that nobody calibrated shows the same
	}
	if size*math.Abs(r) < 0.2 || f.n < 3 || sd > 0.12*math.Max(1, math.Abs(r)) || !f.agrees() {
		return Finding{}, false
	}
	words := fmt.Sprintf("%d additions did %.2g times what their labels say", doses, r)
	switch {
	case r < weakAt && r+2*sd < 0.8:
		return found(WeakTitrant, c.T, words, Dropper), true
	case r > strongAt && r-2*sd > 1.12:
		if r > halfAt || r > maybeHalf && suspected(c, "amount:0.5") {
			return found(HalfBuffer, c.T, words, Dropper), true
		}
		return found(Dropper, c.T, words, HalfBuffer), true
	}
	return Finding{}, false
}

// suspected reports whether the coach has had an account in mind.
func suspected(c Case, code string) bool {
	return slices.ContainsFunc(c.Suspects, func(s string) bool { return strings.HasPrefix(s, code) })
}
