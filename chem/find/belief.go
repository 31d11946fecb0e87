package find

import (
	"math"
	"slices"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/linalg"
)

// Belief is what is believed after a history.
type Belief struct {
	bench  *Bench
	hist   coach.History
	sc     scatter
	f      factors
	x      []float64 // most probable
	x0     []float64 // of the prior
	p0     []float64 // variance of the prior
	lv     []level   // of each reading
	l      []float64 // Cholesky factor of the covariance of the readings, as the prior has it
	jp     []float64 // J P, a row a reading
	m      *models
	Misfit float64 // χ² of the readings over their number: about 1 when the spreads are right
	logEv  float64
	Odd    int // the reading that was left aside, from 1; 0 for none
}

// Figures of the fit.
const (
	mostSteps = 25
	lnStep    = 0.7 // of a logarithm, a pK or the shift of the meter, in one step
	slopeStep = 0.1 // of its slope: 0.6 pH at the ends of the scale
	enough    = 1e-6
)

// Believe folds a history into a belief. One reading that no account of the others
// allows is left aside: it was not at rest, or an addition was put on record too late.
func (b *Bench) Believe(h coach.History) (*Belief, error) {
	bel, err := b.believe(h)
	n := len(h.Observations)
	if err != nil || !bel.mayHoldOdd() {
		return bel, err
	}
	best, odd := bel, -1
	for i := range n {
		less := h
		less.Observations = slices.Clone(h.Observations)
		less.Observations[i].SD = oddSD
		one, err := b.bestFrom(less, append(b.starts(), bel.x), nil)
		if err == nil && one.Misfit < best.Misfit {
			best, odd = one, i
		}
	}
	if odd < 0 || !best.betterThan(bel) {
		return bel, nil
	}
	best.Odd = odd + 1
	return best, nil
}

// When a reading is left aside, a choice of this project.
const (
	oddMisfit = 4.0  // χ² over the number of readings
	oddFrom   = 4    // readings
	oddTo     = 40   // and how many are worth the search
	oddGain   = 16.0 // χ² that goes with it
	oddSD     = 1.0  // pH, what it counts then
)

// mayHoldOdd reports whether one reading may be what makes the others fit badly.
func (bel *Belief) mayHoldOdd() bool {
	n := len(bel.lv)
	return bel.Misfit > oddMisfit && n >= oddFrom && n <= oddTo
}

// betterThan reports whether a fit without a reading is so much better that it is odd.
func (bel *Belief) betterThan(whole *Belief) bool {
	return (whole.Misfit-bel.Misfit)*float64(len(whole.lv)) >= oddGain && bel.Misfit <= oddMisfit
}

func (b *Bench) believe(h coach.History) (*Belief, error) {
	best, err := b.bestFrom(h, b.starts(), nil)
	if err == nil && !best.astray() {
		return best, nil
	}
	if other, err := b.bestFrom(h, b.otherStarts(), best); err == nil {
		return other, nil
	}
	return best, err
}

// bestFrom is the most probable of the fits from some starts, or best.
func (b *Bench) bestFrom(h coach.History, starts [][]float64, best *Belief) (*Belief, error) {
	err := errNoBalance
	for _, s := range starts {
		bel, failed := b.fit(h, s)
		if failed != nil {
			err = failed
			continue
		}
		if best == nil || bel.logEv > best.logEv {
			best = bel
		}
	}
	if best == nil {
		return nil, err
	}
	return best, nil
}

// openPK is the spread of a constant from which on nothing is known of it.
const openPK = 0.5

// starts are the unknowns to begin a fit with: the prior, or, for a constant of
// which nothing is known, several.
func (b *Bench) starts() [][]float64 {
	x, _ := b.prior()
	out := [][]float64{x}
	for i, k := range b.PKs {
		if k.SD <= openPK {
			continue
		}
		for _, d := range []float64{-3, -2, -1, 1, 2, 3} {
			y := append([]float64(nil), x...)
			y[b.iPK(i)] += d * k.SD / 1.5
			out = append(out, y)
		}
	}
	return out
}

// againMisfit is χ² over the number of readings from which on a fit may have come to rest
// in a hollow of its own, so that others are begun elsewhere (choice).
const againMisfit = 2.0

// astray reports whether a fit may be one of those.
func (bel *Belief) astray() bool { return bel.Misfit > againMisfit && len(bel.lv) >= misfitFrom }

// otherStarts are those where the amount that is looked for is another one: with a meter
// that may be off by much, one leap of a curve may be taken for another.
func (b *Bench) otherStarts() [][]float64 {
	k := b.iPart(b.Of)
	switch {
	case b.What == Blank:
		return nil
	case b.What == Strength:
		k = b.iStrength(0)
	}
	x, v := b.prior()
	var out [][]float64
	for _, d := range []float64{-1, -0.5, 0.5, 1} {
		y := append([]float64(nil), x...)
		y[k] += d * math.Sqrt(v[k])
		out = append(out, y)
	}
	return out
}

func (b *Bench) fit(h coach.History, x []float64) (*Belief, error) {
	bel := &Belief{bench: b, hist: h, sc: b.scatterOf(h.Additions), x: append([]float64(nil), x...)}
	bel.x0, bel.p0 = b.prior()
	n := len(h.Observations)
	bel.lv = make([]level, n)
	rooms := make([]room, n)
	for range mostSteps {
		m, err := b.modelsAt(bel.x)
		if err != nil {
			return nil, err
		}
		if m != bel.m { // a medium belongs to its model
			bel.m = m
			for i := range rooms {
				rooms[i] = b.newRoom()
			}
		}
		bel.f = b.factorsOf(bel.x)
		for i, o := range h.Observations {
			bel.lv[i] = b.levelAt(bel.m, bel.x, &bel.f, b.volumes(h.Additions, o.After), o.PH, rooms[i])
			if math.IsNaN(bel.lv[i].charge) {
				return nil, errNoBalance
			}
		}
		next, err := bel.solve()
		if err != nil {
			return nil, err
		}
		if bel.move(next) < enough {
			break
		}
	}
	bel.f = b.factorsOf(bel.x)
	return bel, nil
}

// move goes towards next, no further than the linear law may be trusted, and is
// the largest step in units of what matters.
func (bel *Belief) move(next []float64) float64 {
	most, scale := 0.0, 1.0
	for i := range next {
		limit := lnStep
		switch i {
		case iSlope:
			limit = slopeStep
		case iExcess: // the balance is linear in it
			continue
		}
		if d := math.Abs(next[i] - bel.x[i]); d*scale > limit {
			scale = limit / d
		}
	}
	for i := range next {
		d := scale * (next[i] - bel.x[i])
		bel.x[i] += d
		if i != iExcess {
			most = math.Max(most, math.Abs(d))
		}
	}
	return most
}

// solve is one Gauss–Newton step in the space of the readings.
func (bel *Belief) solve() ([]float64, error) {
	b, n, m := bel.bench, len(bel.lv), len(bel.x)
	bel.jp = make([]float64, n*m)
	s := make([]float64, n*n)
	e := make([]float64, n)
	for i := range bel.lv {
		g := bel.lv[i].grad
		e[i] = -bel.lv[i].charge
		for k := range g {
			e[i] += g[k] * (bel.x[k] - bel.x0[k])
			bel.jp[i*m+k] = g[k] * bel.p0[k]
		}
		for j := range i + 1 {
			s[i*n+j] = linalg.Dot(bel.jp[i*m:(i+1)*m], bel.lv[j].grad) + b.noise(&bel.sc, bel.hist.Observations[i].After, bel.hist.Observations[j].After, &bel.lv[i], &bel.lv[j]) + b.bend(&bel.lv[i], &bel.lv[j])
		}
		s[i*n+i] += b.own(&bel.lv[i], bel.hist.Observations[i].SD)
	}
	bel.l = s
	if !linalg.Cholesky(bel.l, n) {
		return nil, errSingular
	}
	linalg.Forward(bel.l, n, e)
	chi := linalg.Dot(e, e)
	bel.logEv = -chi / 2
	for i := range n {
		bel.logEv -= math.Log(bel.l[i*n+i])
	}
	bel.Misfit = chi / math.Max(float64(n), 1)
	linalg.Backward(bel.l, n, e)
	next := append([]float64(nil), bel.x0...)
	for i := range n {
		for k := range next {
			next[k] += bel.jp[i*m+k] * e[i]
		}
	}
	return next, nil
}

// own is the variance of a charge balance by the pH of its reading.
func (b *Bench) own(lv *level, sd float64) float64 {
	q := lv.slope * math.Hypot(sd, floorPH)
	t := traceKg * b.Water.Water
	if b.What == Blank {
		t = blankKg * b.Water.Water
	}
	return q*q + t*t
}

// w is what a linear functional of the unknowns has to do with the readings.
func (bel *Belief) w(g []float64) []float64 {
	n, m := len(bel.lv), len(bel.x)
	w := make([]float64, n)
	for i := range w {
		w[i] = linalg.Dot(bel.jp[i*m:(i+1)*m], g)
	}
	linalg.Forward(bel.l, n, w)
	return w
}

// variance is that of a linear functional of the unknowns.
func (bel *Belief) variance(g []float64) float64 {
	v := 0.0
	for k := range g {
		v += g[k] * g[k] * bel.p0[k]
	}
	w := bel.w(g)
	return math.Max(v-linalg.Dot(w, w), 0)
}

// sd is the standard deviation of a linear functional, widened where the readings
// scatter more than their spreads allow.
func (bel *Belief) sd(g []float64) float64 {
	return math.Sqrt(bel.variance(g) * bel.widening())
}

// widening is by how much a variance is wider than the readings' own spreads make it:
// the ratio of R. T. Birge, Phys. Rev. 40, 207 (1932) (from memory), where χ² is more
// than chance makes of it. Few readings scatter more than they should half of the time;
// taken as it stands, the ratio would widen them all. So it counts from one standard
// deviation of χ² on, and in full from two (a choice), which come from the cube root
// of E. B. Wilson and M. M. Hilferty, Proc. Natl. Acad. Sci. 17, 684 (1931) (from memory).
func (bel *Belief) widening() float64 {
	n := float64(len(bel.lv))
	if n == 0 || bel.Misfit <= 1 {
		return 1
	}
	v := 2 / (9 * n)
	z := (math.Cbrt(bel.Misfit) - (1 - v)) / math.Sqrt(v)
	return 1 + (bel.Misfit-1)*math.Min(math.Max(z-1, 0), 1)
}

// times is the posterior covariance times a functional.
func (bel *Belief) times(g []float64) []float64 {
	n, m := len(bel.lv), len(bel.x)
	out := make([]float64, m)
	for k := range out {
		out[k] = bel.p0[k] * g[k]
	}
	w := bel.w(g)
	linalg.Backward(bel.l, n, w)
	for i := range n {
		for k := range out {
			out[k] -= bel.jp[i*m+k] * w[i]
		}
	}
	return out
}
